"""Checks of a design sheet's concrete: outline, openings, thickness, covers, beams."""

import math
from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Final

from estimates.calc import geometry
from estimates.calc.sheet import outline as outlines
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.calc.sheet.shape import Beam, Opening
from estimates.calc.sheet.types import Point

_SHORTEST_BEAM_MM: Final = 1.0
_LEAST_CONCRETE_MM2: Final = 10_000.0


def faults(draft: Draft) -> Iterator[Fault]:
    """Finds what is impossible in the concrete of a sheet.

    Source: derived: plane geometry and the order of dimensions; no limit of a code is tested here.

    Args:
        draft: the parts of the sheet that could be read.

    Returns:
        The faults in the order of the sheet.

    >>> [fault.message for fault in faults(Draft(thickness_mm=150, cover_mm=90))]
    ['cover_mm 90 mm must be less than half the thickness 150 mm; correct one of them']
    """
    sound = True
    if draft.outline is not None:
        for code, sentence in outlines.faults_of(draft.outline):
            sound = False
            yield Fault("outline", code, f"the outline {sentence}")
    yield from _slab_cover(draft)
    yield from _openings(draft, within=sound)
    yield from _beams(draft, within=sound)


def _slab_cover(draft: Draft) -> Iterator[Fault]:
    thickness, cover = draft.thickness_mm, draft.cover_mm
    if thickness is not None and cover is not None and cover >= thickness / 2:
        yield Fault(
            "cover_mm",
            "cover_too_large",
            f"cover_mm {show(cover)} mm must be less than half the thickness {show(thickness)} mm; "
            "correct one of them",
        )


def _openings(draft: Draft, *, within: bool) -> Iterator[Fault]:
    sound: dict[int, Opening] = {}
    for index, opening in draft.openings.items():
        shape = outlines.faults_of(opening.outline)
        for code, sentence in shape:
            yield Fault(f"openings[{index}].outline", code, f"opening {opening.name} {sentence}")
        if not shape:
            sound[index] = opening
    yield from _same_names(
        {index: opening.name for index, opening in draft.openings.items()}, kind="openings"
    )
    for index, opening in sound.items():
        if draft.outline is None or not within:
            break
        outside = outlines.area_outside_mm2(opening.outline, outer=draft.outline)
        if outside:
            corner = next((c for c in opening.outline if not outlines.holds(draft.outline, point=c)), None)
            where = f", as at its corner {outlines.place(corner)}" if corner is not None else ""
            yield Fault(
                f"openings[{index}].outline",
                "opening_outside",
                f"opening {opening.name} lies {outside / 1e6:.4g} m² outside the slab's outline{where}; "
                "move its corners inside, or draw the recess into the outline",
            )
    overlaps = list(_overlaps(sound))
    yield from overlaps
    if draft.outline is not None and within and not overlaps:
        yield from _concrete_left(draft.outline, openings=sound)


def _concrete_left(outline: tuple[Point, ...], *, openings: Mapping[int, Opening]) -> Iterator[Fault]:
    cut_out = (outlines.area_shared_mm2(opening.outline, other=outline) for opening in openings.values())
    left = outlines.area_shared_mm2(outline, other=outline) - sum(cut_out)
    if left < _LEAST_CONCRETE_MM2:
        yield Fault(
            "outline",
            "no_concrete",
            f"the outline less its openings leaves {max(left, 0.0) / 1e6:.4g} m² of slab, and a slab has at "
            f"least {_LEAST_CONCRETE_MM2 / 1e6:g} m²; coordinates are in mm",
        )


def _overlaps(openings: Mapping[int, Opening]) -> Iterator[Fault]:
    for (first, one), (second, other) in combinations(openings.items(), 2):
        shared = outlines.area_shared_mm2(one.outline, other=other.outline)
        if shared:
            yield Fault(
                f"openings[{second}].outline",
                "openings_overlap",
                f"opening {other.name} overlaps opening {one.name} (openings[{first}]) "
                f"by {shared / 1e6:.4g} m²; draw them as one, or correct their corners",
            )


def _same_names(names: Mapping[int, str], *, kind: str) -> Iterator[Fault]:
    seen: dict[str, int] = {}
    for index, name in names.items():
        first = seen.setdefault(name, index)
        if first != index:
            yield Fault(
                f"{kind}[{index}].name",
                "duplicate_name",
                f"name {show(name)} already stands at {kind}[{first}]; give each its own",
            )


def _beams(draft: Draft, *, within: bool) -> Iterator[Fault]:
    yield from _same_names({index: beam.name for index, beam in draft.beams.items()}, kind="beams")
    if draft.beams and not draft.beam_cover_given:
        yield Fault("beam_cover_mm", "missing", "beam_cover_mm is missing; a sheet with beams needs it")
    for index, beam in draft.beams.items():
        name = f"beams[{index}] {beam.name}"
        yield from _beam_section(beam, name=name, path=f"beams[{index}]", draft=draft)
        if math.dist(beam.start, beam.end) < _SHORTEST_BEAM_MM:
            yield Fault(
                f"beams[{index}].end",
                "no_length",
                f"{name}: it starts and ends at {outlines.place(beam.start)}; correct one end",
            )
        elif draft.outline is not None and within:
            yield from _beam_place(beam, name=name, path=f"beams[{index}]", outline=draft.outline)


def _beam_section(beam: Beam, *, name: str, path: str, draft: Draft) -> Iterator[Fault]:
    thickness, cover = draft.thickness_mm, draft.beam_cover_mm
    if thickness is not None and beam.depth_mm < thickness:
        yield Fault(
            f"{path}.depth_mm",
            "shallower_than_slab",
            f"{name}: its overall depth_mm {show(beam.depth_mm)} mm must be at least the slab's thickness "
            f"{show(thickness)} mm; the overall depth includes the slab",
        )
    if cover is not None and cover >= beam.width_mm / 2:
        yield Fault(
            f"{path}.width_mm",
            "cover_too_large",
            f"{name}: beam_cover_mm {show(cover)} mm must be less than half its width_mm "
            f"{show(beam.width_mm)} mm; correct one of them",
        )


def _beam_place(beam: Beam, *, name: str, path: str, outline: tuple[Point, ...]) -> Iterator[Fault]:
    ends = {"start": beam.start, "end": beam.end}
    off = {end: point for end, point in ends.items() if not outlines.holds(outline, point=point)}
    for end, point in off.items():
        yield Fault(
            f"{path}.{end}",
            "beam_off_slab",
            f"{name}: its {end} {outlines.place(point)} lies outside the slab's outline; move it inside",
        )
    strip = [Point(x, y) for x, y in geometry.beam_corners(beam)]
    outside = outlines.area_outside_mm2(strip, outer=outline)
    if outside and not off:
        yield Fault(
            path,
            "beam_off_slab",
            f"{name}: {outside / 1e6:.4g} m² of its {show(beam.width_mm)} mm width lie outside the slab's "
            "outline; the outline is the concrete's outer edge, the centre line lies half a width inside",
        )
