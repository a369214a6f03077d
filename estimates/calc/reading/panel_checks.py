"""Checks of panels, overhangs and outlets."""

from collections.abc import Iterator, Mapping
from itertools import combinations

from estimates.calc.geometry import rings
from estimates.calc.geometry.rings import Region
from estimates.calc.reading import ground, named
from estimates.calc.reading.ground import Ground
from estimates.calc.sheet import outline as outlines
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.calc.sheet.shape import Panel


def faults(draft: Draft, *, slab: Ground | None) -> Iterator[Fault]:
    """Finds what is impossible in the panels, overhangs and outlets of a sheet.

    Source: derived: plane geometry and the order of dimensions.

    Args:
        draft: the parts of the sheet that could be read.
        slab: the slab in plan, when its outlines are sound.

    Returns:
        The faults in the order of the sheet.
    """
    panels = draft.shapes.panels
    yield from named.twice({index: panel.name for index, panel in panels.items()}, kind="panels")
    sound: dict[int, Panel] = {}
    for index, panel in panels.items():
        path = f"panels[{index}]"
        yield from _section(panel, path=path, draft=draft)
        shape = outlines.faults_of(panel.outline)
        for code, sentence in shape:
            yield Fault(f"{path}.outline", code, f"panel {panel.name} {sentence}")
        if not shape:
            sound[index] = panel
            yield from _place(panel, path=path, slab=slab)
    yield from _overlaps(sound)
    yield from _overhangs(draft, slab=slab)
    for index, outlet in draft.shapes.outlets.items():
        if slab is not None and not slab.holds(outlet.at):
            yield Fault(
                f"outlets[{index}].at",
                "outlet_off_slab",
                f"outlet {outlet.name} at {outlines.place(outlet.at)} lies outside the slab; move it inside",
            )


def _section(panel: Panel, *, path: str, draft: Draft) -> Iterator[Fault]:
    cover = draft.cover_mm
    for name in ("thickness_mm", "sides_mm"):
        size = getattr(panel, name)
        if cover is not None and size is not None and cover >= size / 2:
            yield Fault(
                f"{path}.{name}",
                "cover_too_large",
                f"panel {panel.name}: cover_mm {show(cover)} mm must be less than half its {name} "
                f"{show(size)} mm; correct one of them",
            )
    if panel.sides_mm is not None and panel.top_level_mm == 0:
        yield Fault(
            f"{path}.sides_mm",
            "sides_without_step",
            f"panel {panel.name} has sides but lies level with the slab; give its top_level_mm, "
            "or leave sides_mm out",
        )


def _place(panel: Panel, *, path: str, slab: Ground | None) -> Iterator[Fault]:
    if slab is None:
        return
    outside = slab.outside_mm2([rings.ring(panel.outline)])
    if outside:
        corner = slab.first_off(panel.outline)
        where = f", as at its corner {outlines.place(corner)}" if corner is not None else ""
        yield Fault(
            f"{path}.outline",
            "panel_outside",
            f"panel {panel.name} lies {outside / 1e6:.4g} m² outside the slab's outline{where}; "
            "move its corners inside",
        )
        return
    beyond = slab.outside_mm2(walled(panel))
    if beyond:
        yield Fault(
            f"{path}.sides_mm",
            "sides_outside",
            f"panel {panel.name}: its sides stand {beyond / 1e6:.4g} m² outside the slab's outline; its line "
            "is the clear inside, move it inward by the sides' thickness",
        )


def walled(panel: Panel) -> Region:
    """A panel with the walls outside its line.

    Source: derived.

    Args:
        panel: the panel, its outline sound.

    Returns:
        The region.
    """
    inside = [rings.ring(panel.outline)]
    return inside if panel.sides_mm is None else rings.grown(inside, by_mm=panel.sides_mm)


def _overlaps(panels: Mapping[int, Panel]) -> Iterator[Fault]:
    for (first, one), (second, other) in combinations(panels.items(), 2):
        insides = [rings.ring(one.outline)], [rings.ring(other.outline)]
        shared = ground.shown(rings.intersection(*insides), along=insides[1])
        if shared:
            yield Fault(
                f"panels[{second}].outline",
                "panels_overlap",
                f"panel {other.name} overlaps panel {one.name} (panels[{first}]) by {shared / 1e6:.4g} m²; "
                "let each place belong to one panel",
            )
            continue
        for panel, room, path in (
            (one, other, f"panels[{first}].sides_mm"),
            (other, one, f"panels[{second}].sides_mm"),
        ):
            taken = rings.intersection(walled(panel), [rings.ring(room.outline)])
            if ground.shown(taken, along=insides[1]):
                yield Fault(
                    path,
                    "sides_in_panel",
                    f"panel {panel.name}: its sides reach into panel {room.name}; their lines must lie "
                    f"{show(panel.sides_mm)} mm apart",
                )


def _overhangs(draft: Draft, *, slab: Ground | None) -> Iterator[Fault]:
    found = draft.shapes.overhangs
    yield from named.twice({index: part.name for index, part in found.items()}, kind="overhangs")
    for index, part in found.items():
        path = f"overhangs[{index}].outline"
        shape = outlines.faults_of(part.outline)
        for code, sentence in shape:
            yield Fault(path, code, f"overhang {part.name} {sentence}")
        if shape or slab is None:
            continue
        outside = slab.outside_mm2([rings.ring(part.outline)])
        if outside:
            yield Fault(
                path,
                "overhang_outside",
                f"overhang {part.name} lies {outside / 1e6:.4g} m² outside the slab's outline; it is a part "
                "of the slab, draw the outline round it",
            )
