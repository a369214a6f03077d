"""The pours that the engineer's joints make of a slab: what each takes, and its share of the whole."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from estimates.calc import concrete
from estimates.calc.concrete import Beside
from estimates.calc.geometry import pours, rings, slab
from estimates.calc.geometry.pours import Part
from estimates.calc.sheet.parts import DesignSheet

WHOLE_HUNDREDTHS: Final = 10_000
"""Hundredths of a percent in the whole slab: the step in which a pour's share is planned."""

_INWARD_MM: Final = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PourPart:
    """One pour of a slab; `concrete_hundredths` is its share of the concrete in hundredths of a percent.

    Shares of all pours add up to the whole. The steel of a pour is left to its share of the concrete.
    """

    number: int
    area_m2: float
    concrete_m3: float
    formwork_m2: float
    stop_end_m2: float
    concrete_hundredths: int
    formwork_hundredths: int


def of_sheet(sheet: DesignSheet) -> tuple[PourPart, ...]:
    """Divides a slab along its construction joints.

    Source: derived: each layer clipped to the plan of the pour, the left of the first joint first. A sunshade
    goes with the concrete behind its root, a flight with the pour at its foot, or with the first pour when
    its place is not drawn.

    Args:
        sheet: the design sheet, as its reader accepted it.

    Returns:
        The pours; none for a slab without a construction joint.
    """
    whole = slab.of_sheet(sheet)
    parts = pours.divide(whole, joints=sheet.construction_joints, beams=sheet.beams)
    if len(parts) < 2:
        return ()
    volumes = [part.solid.volume_mm3 / 1e9 for part in parts]
    for place, volume in _beside(sheet):
        volumes[_part_at(place, parts=parts)] += volume
    forms = [part.form_mm2 / 1e6 for part in parts]
    for joint in sheet.existing_joints:
        (x1, y1), (x2, y2) = joint.line[0], joint.line[1]
        face = rings.length_mm(joint.line) * joint.thickness_mm
        forms[_part_at(((x1 + x2) / 2, (y1 + y2) / 2), parts=parts)] -= face / 1e6
    rows = zip(parts, volumes, forms, _shares(volumes), _shares(forms), strict=True)
    return tuple(
        PourPart(
            number=number,
            area_m2=part.solid.area_mm2 / 1e6,
            concrete_m3=volume,
            formwork_m2=form,
            stop_end_m2=part.stop_end_mm2 / 1e6,
            concrete_hundredths=share,
            formwork_hundredths=form_share,
        )
        for number, (part, volume, form, share, form_share) in enumerate(rows, start=1)
    )


def _shares(amounts: Sequence[float]) -> list[int]:
    """Hundredths of a percent that add up to the whole: each running sum is rounded once."""
    total = math.fsum(amounts)
    ends = [0, *(round(WHOLE_HUNDREDTHS * math.fsum(amounts[: n + 1]) / total) for n in range(len(amounts)))]
    return [end - start for start, end in pairwise(ends)]


def _beside(sheet: DesignSheet) -> list[tuple[tuple[float, float] | None, float]]:
    """Places and volumes [m³] of stairs and sunshades."""
    lines = concrete.beside_lines(Beside(flights=sheet.flights, sunshades=sheet.sunshades), source="")
    places: list[tuple[float, float] | None] = [
        None if flight.start is None else (flight.start.x, flight.start.y) for flight in sheet.flights
    ]
    for shade in sheet.sunshades:
        (x1, y1), (x2, y2) = shade.start, shade.end
        length = math.dist(shade.start, shade.end)
        inward = (-(y2 - y1) / length * _INWARD_MM, (x2 - x1) / length * _INWARD_MM)
        places.append(((x1 + x2) / 2 + inward[0], (y1 + y2) / 2 + inward[1]))
    return [(place, line.net) for place, line in zip(places, lines, strict=True)]


def _part_at(place: tuple[float, float] | None, *, parts: Sequence[Part]) -> int:
    if place is None:
        return 0
    x, y = place
    spot = [rings.ring([(x - 1, y - 1), (x + 1, y - 1), (x + 1, y + 1), (x - 1, y + 1)])]
    shared = [rings.area_mm2(rings.intersection(spot, part.region)) for part in parts]
    return shared.index(max(shared))
