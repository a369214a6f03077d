"""The plan of an upright extrusion of an IFC model."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import ifcopenshell.util.element
import ifcopenshell.util.placement
import numpy as np

from estimates.calc.intake.plan import Corner

Outline = tuple[Corner, ...]

_UPRIGHT: Final = 0.9999


@dataclass(frozen=True, slots=True, kw_only=True)
class Extrusion:
    """An outline in plan with its holes [mm], and how deep it is extruded [mm]."""

    outline: Outline
    holes: tuple[Outline, ...]
    depth_mm: float


def of(product: Any, *, scale: float) -> Extrusion | None:
    """Gives the plan of a product whose body is one upright extrusion.

    Source: ISO 16739-1:2018: IfcExtrudedAreaSolid of a rectangle, a circle or a closed polyline.

    Args:
        product: a slab or an opening.
        scale: millimetres in the model's unit of length.

    Returns:
        The extrusion in the model's own coordinates, or None for another body.
    """
    solid = _solid(product)
    if solid is None:
        return None
    place = ifcopenshell.util.placement.get_local_placement(product.ObjectPlacement)
    if solid.Position is not None:
        place = place @ ifcopenshell.util.placement.get_axis2placement(solid.Position)
    direction = place[:3, :3] @ np.array(solid.ExtrudedDirection.DirectionRatios, dtype=float)
    if abs(direction[2]) < _UPRIGHT * np.linalg.norm(direction) or abs(place[2, 2]) < _UPRIGHT:
        return None
    curves = _curves(solid.SweptArea)
    if curves is None:
        return None
    outlines = [_placed(curve, place=place, scale=scale) for curve in curves]
    return Extrusion(
        outline=outlines[0], holes=tuple(outlines[1:]), depth_mm=round(float(solid.Depth) * scale, 3)
    )


def _solid(product: Any) -> Any:
    representation = product.Representation
    if representation is None or product.ObjectPlacement is None:
        return None
    bodies = [shape for shape in representation.Representations if shape.RepresentationIdentifier == "Body"]
    items = [item for shape in bodies for item in shape.Items]
    return items[0] if len(items) == 1 and items[0].is_a("IfcExtrudedAreaSolid") else None


def _curves(area: Any) -> list[list[Corner]] | None:
    """The outer curve and the inner ones of a profile, in the profile's coordinates."""
    if area.is_a("IfcRectangleProfileDef") and not area.is_a("IfcRoundedRectangleProfileDef"):
        x, y = area.XDim / 2, area.YDim / 2
        return _moved([[(-x, -y, 0.0), (x, -y, 0.0), (x, y, 0.0), (-x, y, 0.0)]], area=area)
    if area.is_a("IfcCircleProfileDef") and not area.is_a("IfcCircleHollowProfileDef"):
        return _moved([[(-area.Radius, 0.0, 1.0), (area.Radius, 0.0, 1.0)]], area=area)
    if not area.is_a("IfcArbitraryClosedProfileDef"):
        return None
    inner = list(area.InnerCurves) if area.is_a("IfcArbitraryProfileDefWithVoids") else []
    curves = [_polyline(curve) for curve in (area.OuterCurve, *inner)]
    return None if any(curve is None for curve in curves) else [curve for curve in curves if curve]


def _moved(curves: list[list[Corner]], *, area: Any) -> list[list[Corner]]:
    if area.Position is None:
        return curves
    place = ifcopenshell.util.placement.get_axis2placement(area.Position)
    return [[_corner(corner, place=place) for corner in curve] for curve in curves]


def _polyline(curve: Any) -> list[Corner] | None:
    if curve.is_a("IfcPolyline"):
        places = [point.Coordinates[:2] for point in curve.Points]
    elif curve.is_a("IfcIndexedPolyCurve") and all(s.is_a("IfcLineIndex") for s in curve.Segments or ()):
        places = [coordinates[:2] for coordinates in curve.Points.CoordList]
    else:
        return None
    if len(places) > 1 and math.dist(places[0], places[-1]) < 1e-9:
        places = places[:-1]
    return [(float(x), float(y), 0.0) for x, y in places] if len(places) > 2 else None


def _placed(curve: Sequence[Corner], *, place: Any, scale: float) -> Outline:
    moved = (_corner(corner, place=place) for corner in curve)
    return tuple((round(x * scale, 3), round(y * scale, 3), bulge) for x, y, bulge in moved)


def _corner(corner: Corner, *, place: Any) -> Corner:
    x, y, bulge = corner
    size = place.shape[0]
    vector = np.array([x, y, 1.0] if size == 3 else [x, y, 0.0, 1.0])
    moved = place @ vector
    turned = place[0, 0] * place[1, 1] - place[0, 1] * place[1, 0] < 0
    return float(moved[0]), float(moved[1]), -bulge if turned else bulge
