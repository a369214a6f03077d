"""Beams and slabs as plain solids, for the tests of geometry and of what is measured on it."""

from dataclasses import dataclass

from estimates.calc.geometry import solid
from estimates.calc.geometry.solid import Plan


@dataclass(frozen=True)
class Rib:
    """A beam below a slab, along a line in plan; lengths in mm."""

    start: tuple[float, float]
    end: tuple[float, float]
    width_mm: float = 200
    depth_mm: float = 400
    name: str = "B"
    top_level_mm: float = 0

    @property
    def line(self):
        return (self.start, self.end)


def stacked(outline, **plan):
    """The solid of one outline."""
    return solid.build(Plan(outlines=[outline], **plan))
