"""Checks of beams and upstands: their sections, their lines and their place in the slab."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from estimates.calc.geometry import rings
from estimates.calc.reading import named
from estimates.calc.reading.ground import Ground
from estimates.calc.sheet import outline as outlines
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.calc.sheet.shape import Beam, Upstand
from estimates.calc.sheet.types import Point

_SHORTEST_MM: Final = 1.0
_SHARPEST_DEG: Final = 15.0


def faults(draft: Draft, *, slab: Ground | None) -> Iterator[Fault]:
    """Finds what is impossible in the beams and upstands of a sheet.

    Source: derived: plane geometry and the order of dimensions.

    Args:
        draft: the parts of the sheet that could be read.
        slab: the slab in plan, when its outlines are sound.

    Returns:
        The faults in the order of the sheet.
    """
    yield from named.twice({index: beam.name for index, beam in draft.beams.items()}, kind="beams")
    if draft.beams and not draft.beam_cover_given:
        yield Fault("beam_cover_mm", "missing", "beam_cover_mm is missing; a sheet with beams needs it")
    for index, beam in draft.beams.items():
        name, path = f"beams[{index}] {beam.name}", f"beams[{index}]"
        yield from _beam_section(beam, name=name, path=path, draft=draft)
        line = list(line_faults(beam.line, name=name, path=f"{path}.{'via' if beam.via else 'end'}"))
        yield from line
        if not line and slab is not None:
            yield from _beam_place(beam, name=name, path=path, slab=slab)
    found = draft.shapes.upstands
    yield from named.twice({index: upstand.name for index, upstand in found.items()}, kind="upstands")
    for index, upstand in found.items():
        name, path = f"upstands[{index}] {upstand.name}", f"upstands[{index}].line"
        line = list(line_faults(upstand.line, name=name, path=path, closed=upstand.closed))
        yield from line
        if not line and slab is not None:
            yield from _upstand_place(upstand, name=name, path=path, slab=slab)


def line_faults(line: Sequence[Point], *, name: str, path: str, closed: bool = False) -> Iterator[Fault]:
    """Finds what makes places no centre line: two that are one, a bend that turns back.

    Source: derived: a bend under 15° between its legs has no square section.

    Args:
        line: the places in order [mm].
        name: of the thing, for the message.
        path: of the line in the sheet.
        closed: whether the line returns to its first place.

    Returns:
        The first fault of the line.
    """
    places = [*line, line[0]] if closed else list(line)
    for here, there in pairwise(places):
        if math.dist(here, there) < _SHORTEST_MM:
            where = "it starts and ends" if len(line) == 2 else "two of its corners lie"
            yield Fault(path, "no_length", f"{name}: {where} at {outlines.place(here)}; correct one end")
            return
    around = [*places, places[1]] if closed else places
    for before, corner, behind in zip(around, around[1:], around[2:], strict=False):
        if _angle_deg(before, corner=corner, behind=behind) < _SHARPEST_DEG:
            yield Fault(
                path,
                "turns_back",
                f"{name}: its line turns back on itself at {outlines.place(corner)}; its legs must open by "
                f"{_SHARPEST_DEG:g}° or more",
            )
            return


def _angle_deg(before: Point, *, corner: Point, behind: Point) -> float:
    one = math.atan2(before.y - corner.y, before.x - corner.x)
    other = math.atan2(behind.y - corner.y, behind.x - corner.x)
    turn = abs(math.degrees(one - other)) % 360
    return min(turn, 360 - turn)


def _beam_section(beam: Beam, *, name: str, path: str, draft: Draft) -> Iterator[Fault]:
    thickness, cover = draft.thickness_mm, draft.beam_cover_mm
    if thickness is not None and beam.depth_mm < thickness and beam.top_level_mm == 0:
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


def _beam_place(beam: Beam, *, name: str, path: str, slab: Ground) -> Iterator[Fault]:
    ends = {"start": beam.start, "via": slab.first_off(beam.via), "end": beam.end}
    off = {end: point for end, point in ends.items() if point is not None and not slab.holds(point)}
    for end, point in off.items():
        yield Fault(
            f"{path}.{end}",
            "beam_off_slab",
            f"{name}: its {end} {outlines.place(point)} lies outside the slab's outline; move it inside",
        )
    outside = slab.outside_mm2(rings.strip(beam.line, width_mm=beam.width_mm))
    if outside and not off:
        yield Fault(
            path,
            "beam_off_slab",
            f"{name}: {outside / 1e6:.4g} m² of its {show(beam.width_mm)} mm width lie outside the slab's "
            "outline; the outline is the concrete's outer edge, the centre line lies half a width inside",
        )


def _upstand_place(upstand: Upstand, *, name: str, path: str, slab: Ground) -> Iterator[Fault]:
    region = rings.strip(upstand.line, width_mm=upstand.width_mm, closed=upstand.closed)
    outside = slab.outside_mm2(region)
    if outside:
        yield Fault(
            path,
            "upstand_off_slab",
            f"{name}: {outside / 1e6:.4g} m² of its {show(upstand.width_mm)} mm width lie outside the slab's "
            "outline; its line lies half a width inside the edge",
        )
