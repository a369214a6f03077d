"""What is said of a delivery: the acts of receipts and their parts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from inventory.services.checks import CheckAct
from inventory.services.measurings import MeasurementAct


@dataclass(frozen=True)
class ReceiptLineAct:
    """A material of a delivery; figures are in packs when a pack is named, else in the unit.

    `unit` is kg, quintal, t, m, m3, L, m2 or no; empty is the unit in which the material is shown. Steel may
    be weighed: `measured_kg_per_m` then gives its length, or the number of good `bars`, each `bar_length_mm`.
    Without `stated` the note says what was found. A `measurement` by readings gives what was found, which is
    then left out. What a check does not pass, and what has a `hold_reason`, waits in quarantine.
    """

    material_id: int
    stated: Decimal | None
    found: Decimal = Decimal(0)
    order_line_id: int | None = None
    pack_id: int | None = None
    unit: str = ""
    rejected: Decimal = Decimal(0)
    reject_reason: str = ""
    lot_label: str = ""
    made_date: date | None = None
    measured_kg_per_m: Decimal | None = None
    bars: int | None = None
    bar_length_mm: int | None = None
    measurement: MeasurementAct | None = None
    checks: tuple[CheckAct, ...] = ()
    hold_reason: str = ""


@dataclass(frozen=True)
class ReceiptAct:
    """A delivery as it was received; without a time it is now.

    `same_note_answer` says why a used note number is another load, `sure_of_time` that a time long ago is
    right.
    """

    site_id: int
    supplier_id: int
    happened_at: datetime | None
    lines: tuple[ReceiptLineAct, ...]
    order_id: int | None = None
    note_number: str = ""
    same_note_answer: str = ""
    vehicle: str = ""
    remark: str = ""
    sure_of_time: bool = False


@dataclass(frozen=True)
class ReverseAct:
    """A receipt that was wrong, and why."""

    receipt_id: int
    reason: str
