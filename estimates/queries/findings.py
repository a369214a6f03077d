"""What the casting checks find in a design, as pages and bills keep it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from estimates.calc.checks import casting as checks
from estimates.calc.reading.reader import DesignSheet
from estimates.queries.unworkable import UNWORKABLE, Unworkable
from estimates.standards.values import Profile

STOP, WARN, NOTE = "stop", "warn", "note"


@dataclass(frozen=True, kw_only=True)
class FindingRow:
    """One finding: a stable code, its weight, what it concerns, the sentence, and who sets the limit."""

    code: str
    severity: str
    subject: str
    text: str
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    source: str = ""

    @property
    def stops(self) -> bool:
        """Whether the bill waits for a reason that quotes the engineer."""
        return self.severity == STOP

    def as_dict(self) -> dict[str, Any]:
        """The finding as plain data, as a bill freezes it."""
        return asdict(self)


def of_sheet(sheet: DesignSheet, *, profile: Profile) -> tuple[FindingRow, ...]:
    """Return the findings of a sheet by a firm's standards: those that stop, then warnings, then notes.

    Refused with Unworkable when the standards data of today cannot check it.
    """
    try:
        found = checks.find(sheet, profile=profile)
    except ValueError as fault:
        raise Unworkable(UNWORKABLE % {"why": str(fault)}) from None
    return tuple(FindingRow(**row.as_dict()) for row in found)


def frozen(rows: Iterable[Mapping[str, Any]]) -> tuple[FindingRow, ...]:
    """Return the findings that were frozen with a bill."""
    return tuple(FindingRow(**row) for row in rows)
