"""How a figure came about: the numbers that went into it, each with its unit and its source."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Input:
    """One number of a formula: its unit ("mm", "kg/m", "1") and where it was read."""

    value: float
    unit: str
    source: str
