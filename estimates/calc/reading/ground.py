"""The slab in plan as the checks know it: all its outlines, and what lies outside of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import pyclipper

from estimates.calc.geometry import rings
from estimates.calc.geometry.rings import Region
from estimates.calc.sheet import outline as outlines
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.types import Point

_TOLERANCE_MM: Final = 0.01


@dataclass(frozen=True, slots=True)
class Ground:
    """The slab's outlines as one region [µm]."""

    region: Region

    def outside_mm2(self, region: Region) -> float:
        """How much of a region lies outside of the slab; specks along its edge count as none [mm²]."""
        return shown(rings.difference(region, self.region), along=region)

    def holds(self, point: Point) -> bool:
        """Whether a place lies inside the slab or on its edge."""
        place = (rings.on_grid(point.x), rings.on_grid(point.y))
        sides = [pyclipper.PointInPolygon(place, corners) for corners in self.region]
        return -1 in sides or sides.count(1) % 2 == 1

    def first_off(self, points: Sequence[Point]) -> Point | None:
        """The first of some places that lies outside of the slab."""
        return next((point for point in points if not self.holds(point)), None)


def of(draft: Draft) -> Ground | None:
    """The slab in plan, when all its outlines are sound.

    Source: derived: the union of the outlines.

    Args:
        draft: the parts of the sheet that could be read.

    Returns:
        The slab in plan, or None.
    """
    pieces = [piece.outline for piece in draft.shapes.further_outlines.values()]
    if draft.outline is None or any(outlines.faults_of(corners) for corners in (draft.outline, *pieces)):
        return None
    return Ground(rings.union(*([rings.ring(corners)] for corners in (draft.outline, *pieces))))


def shown(found: Region, *, along: Region) -> float:
    """The area of a region, unless it is a speck along the edge of another.

    Source: derived: tolerance 0.01 mm along the edge.

    Args:
        found: the region.
        along: the region along whose edge specks count as none.

    Returns:
        The area, 0 for a speck [mm²].
    """
    area = rings.area_mm2(found)
    return area if area > rings.perimeter_mm(along) * _TOLERANCE_MM else 0.0
