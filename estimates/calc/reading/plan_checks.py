"""Checks of a design sheet's concrete in plan: outlines, openings, covers; the rest has its own files."""

from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Final

from estimates.calc.geometry import rings
from estimates.calc.geometry.rings import Region
from estimates.calc.reading import (
    beam_checks,
    beside_checks,
    ground,
    joint_checks,
    named,
    panel_checks,
    solid_checks,
)
from estimates.calc.reading.ground import Ground
from estimates.calc.sheet import outline as outlines
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.calc.sheet.shape import Opening

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
    found = list(_in_plan(draft))
    yield from found
    if not found:
        yield from solid_checks.faults(draft)


def _in_plan(draft: Draft) -> Iterator[Fault]:
    if draft.outline is not None:
        for code, sentence in outlines.faults_of(draft.outline):
            yield Fault("outline", code, f"the outline {sentence}")
    yield from _further(draft)
    slab = ground.of(draft)
    yield from _slab_cover(draft)
    yield from _openings(draft, slab=slab)
    yield from panel_checks.faults(draft, slab=slab)
    yield from beam_checks.faults(draft, slab=slab)
    yield from beside_checks.faults(draft, slab=slab)
    yield from joint_checks.faults(draft, slab=slab)


def _further(draft: Draft) -> Iterator[Fault]:
    pieces = draft.shapes.further_outlines
    yield from named.twice({index: piece.name for index, piece in pieces.items()}, kind="further_outlines")
    yield from _rules_without_region(draft)
    sound = {}
    for index, piece in pieces.items():
        shape = outlines.faults_of(piece.outline)
        for code, sentence in shape:
            yield Fault(f"further_outlines[{index}].outline", code, f"outline {piece.name} {sentence}")
        if not shape:
            sound[f"further_outlines[{index}].outline"] = (piece.name, piece.outline)
    if draft.outline is not None and not outlines.faults_of(draft.outline):
        sound = {"outline": ("the first", draft.outline), **sound}
    for (_, (one, corners)), (path, (other, others)) in combinations(sound.items(), 2):
        shared = outlines.area_shared_mm2(corners, other=others)
        if shared:
            yield Fault(
                path,
                "outlines_overlap",
                f"outline {other} overlaps outline {one} by {shared / 1e6:.4g} m²; draw them as one",
            )


def _rules_without_region(draft: Draft) -> Iterator[Fault]:
    for index, rule in draft.spacing_rules.items():
        if draft.shapes.further_outlines and rule.region is None:
            yield Fault(
                f"spacing_rules[{index}].region",
                "missing",
                f"spacing_rules[{index}] {rule.mark}: region is missing; a slab of several outlines needs "
                "it, one rule for each piece",
            )


def _slab_cover(draft: Draft) -> Iterator[Fault]:
    thickness, cover = draft.thickness_mm, draft.cover_mm
    if thickness is not None and cover is not None and cover >= thickness / 2:
        yield Fault(
            "cover_mm",
            "cover_too_large",
            f"cover_mm {show(cover)} mm must be less than half the thickness {show(thickness)} mm; "
            "correct one of them",
        )


def _openings(draft: Draft, *, slab: Ground | None) -> Iterator[Fault]:
    sound: dict[int, Opening] = {}
    for index, opening in draft.openings.items():
        found = list(_opening_shape(opening, path=f"openings[{index}]"))
        yield from found
        if not found:
            sound[index] = opening
    yield from named.twice(
        {index: opening.name for index, opening in draft.openings.items()}, kind="openings"
    )
    for index, opening in sound.items():
        if slab is None:
            break
        yield from _opening_place(opening, path=_place_of(opening, index=index), slab=slab)
    overlaps = list(_overlaps(sound))
    yield from overlaps
    if slab is not None and not overlaps:
        yield from _concrete_left(slab, openings=sound)


def _opening_shape(opening: Opening, *, path: str) -> Iterator[Fault]:
    if (opening.outline is None) == (opening.circle is None):
        yield Fault(
            path,
            "one_shape",
            f"opening {opening.name} needs either its corners or a circle, one of the two; "
            "give the outline, or circle with centre and diameter",
        )
    elif opening.outline is not None:
        for code, sentence in outlines.faults_of(opening.outline):
            yield Fault(f"{path}.outline", code, f"opening {opening.name} {sentence}")


def _place_of(opening: Opening, *, index: int) -> str:
    return f"openings[{index}].{'circle' if opening.circle is not None else 'outline'}"


def _opening_place(opening: Opening, *, path: str, slab: Ground) -> Iterator[Fault]:
    outside = slab.outside_mm2(_region(opening))
    if outside:
        corner = slab.first_off(opening.corners)
        where = f", as at its corner {outlines.place(corner)}" if corner is not None else ""
        yield Fault(
            path,
            "opening_outside",
            f"opening {opening.name} lies {outside / 1e6:.4g} m² outside the slab's outline{where}; "
            "move its corners inside, or draw the recess into the outline",
        )


def _region(opening: Opening) -> Region:
    return [rings.ring(opening.corners)]


def _concrete_left(slab: Ground, *, openings: Mapping[int, Opening]) -> Iterator[Fault]:
    holes = [corners for opening in openings.values() for corners in _region(opening)]
    left = rings.area_mm2(rings.difference(slab.region, holes) if holes else slab.region)
    if left < _LEAST_CONCRETE_MM2:
        yield Fault(
            "outline",
            "no_concrete",
            f"the outline less its openings leaves {max(left, 0.0) / 1e6:.4g} m² of slab, and a slab has at "
            f"least {_LEAST_CONCRETE_MM2 / 1e6:g} m²; coordinates are in mm",
        )


def _overlaps(openings: Mapping[int, Opening]) -> Iterator[Fault]:
    for (first, one), (second, other) in combinations(openings.items(), 2):
        shared = outlines.area_shared_mm2(one.corners, other=other.corners)
        if shared:
            yield Fault(
                _place_of(other, index=second),
                "openings_overlap",
                f"opening {other.name} overlaps opening {one.name} (openings[{first}]) "
                f"by {shared / 1e6:.4g} m²; draw them as one, or correct their corners",
            )
