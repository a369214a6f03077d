"""The design form from top to bottom; each subject lists its own parts."""

from __future__ import annotations

from typing import Final

from estimates.pages.boxes import (
    answers,
    concrete,
    drawing,
    durability,
    joints,
    shape,
    stairs,
    steel,
    supports,
    works,
)
from estimates.pages.boxes.kinds import Part, Rows

LAYOUT: Final[tuple[Part | Rows, ...]] = (
    *drawing.PARTS,
    *shape.PARTS,
    *stairs.PARTS,
    *joints.PARTS,
    *concrete.PARTS,
    *steel.PARTS,
    *answers.PARTS,
    *supports.PARTS,
    *works.PARTS,
    *durability.PARTS,
    steel.METHODS,
    works.LOSSES,
    works.REMARK,
)
"""The form from top to bottom."""
