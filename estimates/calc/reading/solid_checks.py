"""Checks of the slab as a solid: that nothing hangs in the air, and that plates stand out from concrete."""

import math
from collections.abc import Iterator, Mapping
from typing import Final

from estimates.calc.geometry import rings, solid
from estimates.calc.geometry.rings import PER_MM, Region
from estimates.calc.geometry.solid import Kind, Plan, Prism, Solid
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.calc.sheet.shape import Beam, Panel, Sunshade, Upstand

_REACH_MM: Final = 0.1
_CONTACT_MM2: Final = 1.0
_PATHS: Final = {Kind.SLAB: "panels", Kind.BEAM: "beams", Kind.UPSTAND: "upstands"}


def faults(draft: Draft) -> Iterator[Fault]:
    """Finds parts that touch nothing, upstands without a foot, sunshades off the concrete.

    Source: derived: two parts are cast together where they share a face.

    Args:
        draft: the parts of a sheet without a fault in plan.

    Returns:
        The faults in the order of the sheet.
    """
    shapes = draft.shapes
    if draft.outline is None or draft.thickness_mm is None or not shapes.whole:
        return
    raised = any(panel.top_level_mm for panel in shapes.panels.values())
    raised = raised or any(beam.top_level_mm for beam in draft.beams.values())
    if not (raised or shapes.upstands or shapes.sunshades):
        return
    whole = solid.build(
        Plan(
            outlines=(draft.outline, *(piece.outline for piece in shapes.further_outlines.values())),
            thickness_mm=draft.thickness_mm,
            openings=[opening.corners for opening in draft.openings.values()],
            panels=list(shapes.panels.values()),
            beams=list(draft.beams.values()),
            upstands=list(shapes.upstands.values()),
        )
    )
    yield from _hanging(whole, draft=draft)
    for index, upstand in shapes.upstands.items():
        yield from _foot(upstand, path=f"upstands[{index}].foot_level_mm", whole=whole)
    for index, shade in shapes.sunshades.items():
        yield from _plate(shade, path=f"sunshades[{index}]", whole=whole)


def _hanging(whole: Solid, *, draft: Draft) -> Iterator[Fault]:
    """Every part is joined, through others, to the largest group of parts."""
    groups = _groups(whole.prisms)
    sizes = [
        sum(
            rings.area_mm2(whole.prisms[index].region)
            for index in group
            if whole.prisms[index].kind == Kind.SLAB
        )
        for group in groups
    ]
    main = groups[sizes.index(max(sizes))]
    for index, prism in enumerate(whole.prisms):
        # Apart from the slab's own pieces, whose outlines may stand apart, everything hangs on something.
        # An upstand is asked for its foot instead.
        if index in main or not prism.name or prism.kind in {Kind.SIDE, Kind.UPSTAND}:
            continue
        if any(not whole.prisms[other].name for group in groups if index in group for other in group):
            continue
        levels = f"{show(prism.bottom / PER_MM)} to {show(prism.top / PER_MM)}"
        what = "panel" if prism.kind == Kind.SLAB else str(prism.kind)
        yield Fault(
            _path(prism, draft=draft),
            "hangs_free",
            f"{what} {prism.name}, levels {levels} mm, touches no other concrete; "
            "correct its level, or give a panel its sides",
        )


def _path(prism: Prism, *, draft: Draft) -> str:
    lists: dict[Kind, Mapping[int, Panel | Beam | Upstand]] = {
        Kind.SLAB: draft.shapes.panels,
        Kind.BEAM: draft.beams,
        Kind.UPSTAND: draft.shapes.upstands,
    }
    names = {part.name: index for index, part in lists[prism.kind].items()}
    return f"{_PATHS[prism.kind]}[{names[prism.name]}]"


def _groups(prisms: tuple[Prism, ...]) -> list[set[int]]:
    """Groups of parts that share faces."""
    groups: list[set[int]] = []
    boxes = [_box(prism.region) for prism in prisms]
    for index, prism in enumerate(prisms):
        joined = {index}
        for group in groups:
            if any(_near(boxes[index], boxes[other]) and _share(prism, prisms[other]) for other in group):
                joined |= group
        groups = [group for group in groups if not group & joined] + [joined]
    return groups


def _share(one: Prism, other: Prism) -> bool:
    if one.bottom > other.top or other.bottom > one.top:
        return False
    if rings.area_mm2(rings.intersection(one.region, other.region)) > _CONTACT_MM2:
        return True
    beside = rings.intersection(rings.grown(one.region, by_mm=_REACH_MM), other.region)
    return min(one.top, other.top) > max(one.bottom, other.bottom) and rings.area_mm2(beside) > _CONTACT_MM2


def _box(region: Region) -> tuple[int, int, int, int]:
    xs, ys = [x for ring in region for x, _ in ring], [y for ring in region for _, y in ring]
    return min(xs), min(ys), max(xs), max(ys)


def _near(one: tuple[int, int, int, int], other: tuple[int, int, int, int]) -> bool:
    reach = PER_MM
    return (
        one[0] <= other[2] + reach
        and other[0] <= one[2] + reach
        and one[1] <= other[3] + reach
        and other[1] <= one[3] + reach
    )


def _foot(upstand: Upstand, *, path: str, whole: Solid) -> Iterator[Fault]:
    region = rings.intersection(
        rings.strip(upstand.line, width_mm=upstand.width_mm, closed=upstand.closed), whole.footprint
    )
    foot = rings.on_grid(upstand.foot_level_mm)
    below = next((layer for layer in whole.layers if layer.bottom < foot <= layer.top), None)
    bare = rings.difference(region, below.region) if below is not None else region
    if rings.area_mm2(bare) > max(_CONTACT_MM2, rings.perimeter_mm(region) * _REACH_MM):
        yield Fault(
            path,
            "no_foot",
            f"upstand {upstand.name}: {rings.area_mm2(bare) / 1e6:.4g} m² of its foot at level "
            f"{show(upstand.foot_level_mm)} mm stand on no concrete; give the level of the concrete below it",
        )


def _plate(shade: Sunshade, *, path: str, whole: Solid) -> Iterator[Fault]:
    """A sunshade lies outside the concrete at its levels, with its root on it."""
    (x1, y1), (x2, y2) = shade.start, shade.end
    length = math.dist(shade.start, shade.end)
    right = ((y2 - y1) / length, -(x2 - x1) / length)

    def beyond(by_mm: float) -> tuple[tuple[float, float], tuple[float, float]]:
        return (x1 + right[0] * by_mm, y1 + right[1] * by_mm), (x2 + right[0] * by_mm, y2 + right[1] * by_mm)

    plate = [rings.ring([*beyond(0), *reversed(beyond(shade.projection_mm))])]
    behind = [rings.ring([*beyond(0), *reversed(beyond(-1.0))])]
    bottom = rings.on_grid(shade.top_level_mm - shade.thickness_mm)
    top = rings.on_grid(shade.top_level_mm)
    beside = [layer.region for layer in whole.layers if layer.bottom < top and bottom < layer.top]
    taken = rings.area_mm2(rings.intersection(plate, rings.union(*beside)))
    if taken > length * _REACH_MM:
        yield Fault(
            path,
            "sunshade_in_concrete",
            f"sunshade {shade.name}: {taken / 1e6:.4g} m² of it lie inside the slab or a beam; it stands to "
            "the right of the way from start to end, with that line on the face of the concrete",
        )
    elif rings.area_mm2(rings.intersection(behind, rings.union(*beside))) < length / 2:
        yield Fault(
            path,
            "sunshade_off",
            f"sunshade {shade.name}: there is no concrete behind its root at levels "
            f"{show(bottom / PER_MM)} to {show(top / PER_MM)} mm; "
            "put its line on the face of a beam or the edge",
        )
