"""Props and planks on hire, as the formwork designer's drawing counts them. Nothing here is worked out.

Unknown fields are refused everywhere.
"""

from pydantic.dataclasses import dataclass

from estimates.calc.sheet import types
from estimates.calc.sheet.strict import STRICT


@dataclass(frozen=True, kw_only=True, config=STRICT)
class HireItem:
    """One kind of thing on hire."""

    name: types.Member
    """What it is, as "prop, 2 to 3.5 m"."""
    number: types.Pieces
    """How many the drawing counts."""
    days: types.HireDays | None = None
    """Days on hire; left out: not known yet [day]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Falsework:
    """The formwork designer's drawing with its counts of props, planks and the like."""

    drawing_number: types.DrawingNumber
    """Number of the formwork designer's drawing."""
    designer: types.Designer
    """Name of the formwork designer."""
    items: types.Several[HireItem] = ()
    """What the drawing counts."""
