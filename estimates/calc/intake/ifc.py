"""An IFC 4 model as facts: extruded slabs with their openings, and bars by size and length.

Not read: beams, walls, meshes and boundary solids, sloping slabs, the bending of bars; what is left unread is
counted and said.
"""

from collections import Counter
from collections.abc import Sequence
from typing import Any, Final

import ifcopenshell
import ifcopenshell.util.unit

from estimates.calc.intake import ifc_shape, limits
from estimates.calc.intake.cells import Figure
from estimates.calc.intake.found import Fact, LineFault, Unreadable, refuse
from estimates.calc.intake.plan import Layer, Plan, Ring
from estimates.calc.intake.schedule import BarRow, Schedule

_BROKEN: Final = "the model is damaged and cannot be read; export it again as IFC 4"
_READ: Final = frozenset({"IfcSlab", "IfcReinforcingBar", "IfcOpeningElement"})


def read(content: bytes) -> tuple[Plan, Schedule | None]:
    """Reads slabs, their openings and their bars.

    Source: ISO 16739-1:2018 (IFC 4), read by the library IfcOpenShell.

    Args:
        content: the file.

    Returns:
        Outlines in plan [mm], each slab with its openings on layers of their own, and the bars; None for the
        bars when the model has none.

    Raises:
        Unreadable: no sound IFC 4 model, or more in it than is read.
    """
    model = _opened(content)
    scale = ifcopenshell.util.unit.calculate_unit_scale(model) * 1000
    slabs = model.by_type("IfcSlab")
    bars = model.by_type("IfcReinforcingBar")
    if len(slabs) + len(bars) > limits.IFC_ELEMENTS:
        raise refuse("too_many_elements", f"the model has more than {limits.IFC_ELEMENTS} slabs and bars")
    rings, depths, missed = _slabs(slabs, scale=scale)
    others = Counter(element.is_a() for element in model.by_type("IfcElement") if element.is_a() not in _READ)
    not_read = [
        Fact(name=kind, value=str(count), words="") for kind, count in sorted((others + missed).items())
    ]
    plan = Plan(
        kind="ifc",
        unit="mm",
        layers=_layers(rings),
        rings=tuple(rings),
        segments=(),
        words=(),
        titles=(),
        notes=(Fact(name="thickness", value=f"{depths[0]:g}", words=""),) if len(depths) == 1 else (),
        not_read=tuple(not_read),
        order={},
        thickness_mm=depths[0] if len(depths) == 1 else None,
    )
    return plan, _schedule(bars, scale=scale) if bars else None


def _opened(content: bytes) -> Any:
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        text = content.decode("latin-1")
    if not text.rstrip().endswith("END-ISO-10303-21;"):
        raise refuse("cut_short", "the model ends before its end mark; export it again as IFC 4")
    try:
        model = ifcopenshell.file.from_string(text)
        schema = str(model.schema)
    except (RuntimeError, ValueError, TypeError, AttributeError, ifcopenshell.Error) as error:
        raise refuse("damaged", _BROKEN) from error
    if not schema.startswith("IFC4"):
        raise refuse("other_schema", f"the model follows {schema[:20]}; export it as IFC 4")
    return model


def _slabs(slabs: Sequence[Any], *, scale: float) -> tuple[list[Ring], list[float], Counter[str]]:
    rings: list[Ring] = []
    depths: list[float] = []
    missed: Counter[str] = Counter()
    names: Counter[str] = Counter()
    for slab in slabs:
        name = (slab.Name or "slab")[:40]
        names[name] += 1
        name = name if names[name] == 1 else f"{name} ({names[name]})"
        shape = ifc_shape.of(slab, scale=scale)
        if shape is None:
            missed["IfcSlab of another shape than an upright extrusion"] += 1
            continue
        depths.append(shape.depth_mm)
        rings.append(_ring(shape.outline, layer=f"slab {name}", number=len(rings) + 1))
        holes = list(shape.holes)
        for opening in (relation.RelatedOpeningElement for relation in slab.HasOpenings or ()):
            cut = ifc_shape.of(opening, scale=scale)
            if cut is None:
                missed["IfcOpeningElement of another shape than an upright extrusion"] += 1
            else:
                holes.append(cut.outline)
        rings += [
            _ring(hole, layer=f"openings in {name}", number=len(rings) + at)
            for at, hole in enumerate(holes, 1)
        ]
    return rings, sorted(set(depths)), missed


def _ring(outline: ifc_shape.Outline, *, layer: str, number: int) -> Ring:
    return Ring(id=f"r{number}", layer=layer, corners=outline, closed=True)


def _layers(rings: Sequence[Ring]) -> tuple[Layer, ...]:
    counted = Counter(ring.layer for ring in rings)
    return tuple(Layer(name=name, rings=count, lines=0, words=0) for name, count in counted.items())


def _schedule(bars: Sequence[Any], *, scale: float) -> Schedule:
    groups: dict[tuple[str, int, float, str], int] = {}
    faults: list[LineFault] = []
    for number, bar in enumerate(bars, start=1):
        try:
            key = _key(bar, scale=scale)
        except Unreadable as refused:
            faults += [LineFault(line=number, code=f.code, message=f.message) for f in refused.faults]
            continue
        groups[key] = groups.get(key, 0) + 1
    rows = [_row(line, key=key, count=count) for line, (key, count) in enumerate(groups.items(), start=1)]
    return Schedule(
        sheet="IfcReinforcingBar",
        head_line=0,
        has_members=False,
        rows=tuple(rows),
        titles=(),
        remarks=(),
        notes=(),
        unread_columns=("bending parameters", "placement"),
        faults=tuple(faults[: limits.FAULTS]),
        length_unit="mm",
    )


def _key(bar: Any, *, scale: float) -> tuple[str, int, float, str]:
    kind = ifcopenshell.util.element.get_type(bar)
    mark = "-".join(str(bar.Tag or bar.Name or "").split())[:40]
    size = bar.NominalDiameter or getattr(kind, "NominalDiameter", None)
    length = bar.BarLength or getattr(kind, "BarLength", None)
    code = str(getattr(kind, "BendingShapeCode", None) or "straight")
    lacking = [
        name
        for name, value in (("Tag or Name", mark), ("NominalDiameter", size), ("BarLength", length))
        if not value
    ]
    if lacking:
        raise refuse("missing", f"bar #{bar.id()} has no {', '.join(lacking)}; give it in the model")
    return mark, round(float(size or 0) * scale), round(float(length or 0) * scale, 1), code


def _row(line: int, *, key: tuple[str, int, float, str], count: int) -> BarRow:
    mark, size, length, code = key
    return BarRow(
        line=line,
        mark=mark,
        member="",
        type_letter="",
        size_mm=size,
        shape=code,
        dimensions={"A": Figure(length, "mm")},
        per_member=count,
        members=None,
        total=None,
        spacing=None,
        over=None,
        remark="length of bar as the model has it",
    )
