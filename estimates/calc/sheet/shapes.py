"""What could be read of a sheet's further shapes and joints, each by itself."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from pydantic import TypeAdapter, ValidationError

from estimates.calc.sheet import types
from estimates.calc.sheet.joints import ConstructionJoint, ExistingJoint
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.shape import Flight, FurtherOutline, Outlet, Overhang, Panel, Sunshade, Upstand

_KINDS: Final[Mapping[str, tuple[TypeAdapter[Any], int]]] = {
    "further_outlines": (TypeAdapter(FurtherOutline), types.MAX_SHAPES),
    "panels": (TypeAdapter(Panel), types.MAX_SHAPES),
    "upstands": (TypeAdapter(Upstand), types.MAX_SHAPES),
    "overhangs": (TypeAdapter(Overhang), types.MAX_SHAPES),
    "sunshades": (TypeAdapter(Sunshade), types.MAX_SHAPES),
    "flights": (TypeAdapter(Flight), types.MAX_SHAPES),
    "outlets": (TypeAdapter(Outlet), types.MAX_SHAPES),
    "construction_joints": (TypeAdapter(ConstructionJoint), types.MAX_JOINTS),
    "existing_joints": (TypeAdapter(ExistingJoint), types.MAX_SHAPES),
}
_MEASUREMENT: Final = TypeAdapter(types.MethodName)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shapes:
    """The readable parts by their index in the sheet; `whole` tells whether none was left out."""

    further_outlines: Mapping[int, FurtherOutline] = field(default_factory=dict)
    panels: Mapping[int, Panel] = field(default_factory=dict)
    upstands: Mapping[int, Upstand] = field(default_factory=dict)
    overhangs: Mapping[int, Overhang] = field(default_factory=dict)
    sunshades: Mapping[int, Sunshade] = field(default_factory=dict)
    flights: Mapping[int, Flight] = field(default_factory=dict)
    outlets: Mapping[int, Outlet] = field(default_factory=dict)
    construction_joints: Mapping[int, ConstructionJoint] = field(default_factory=dict)
    existing_joints: Mapping[int, ExistingJoint] = field(default_factory=dict)
    measurement: str | None = None
    whole: bool = False


def of_sheet(sheet: DesignSheet) -> Shapes:
    """All further shapes of a sheet that has no fault of form.

    Source: derived: the sheet's own parts.

    Args:
        sheet: the sheet, its meaning not yet checked.

    Returns:
        The shapes.
    """
    lists: dict[str, Any] = {name: dict(enumerate(getattr(sheet, name))) for name in _KINDS}
    return Shapes(whole=True, measurement=sheet.measurement, **lists)


def of_data(data: Mapping[str, Any], *, read_each: Callable[..., dict[int, Any]]) -> Shapes:
    """The further shapes of raw data that can be read, each by itself.

    Source: derived: the types of the sheet's parts.

    Args:
        data: a sheet as data, with faults of form in it.
        read_each: reads a list of one kind.

    Returns:
        The readable shapes.
    """
    try:
        measurement = _MEASUREMENT.validate_python(data.get("measurement"))
    except ValidationError:
        measurement = None
    lists: dict[str, Any] = {
        name: read_each(kind, data.get(name), most=most) for name, (kind, most) in _KINDS.items()
    }
    return Shapes(measurement=measurement, **lists)
