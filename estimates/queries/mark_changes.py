"""Which bar marks a bill's design changed against the design of the bill before it."""

from __future__ import annotations

from estimates.calc.steel import changes, schedule
from estimates.calc.steel.changes import MarkChange
from estimates.calc.steel.schedule import Schedule
from estimates.models import Bill, Design
from estimates.queries import bills, designs, standards
from projects.access.actor import Actor


def of_bill(actor: Actor, *, bill: Bill) -> tuple[MarkChange, ...]:
    """Return the marks that differ from the slab's bill before this one; none for a first bill.

    Refused with Unworkable when one of the two designs no longer fits the standards data.
    """
    before = bills.earlier(actor, bill=bill)
    if before is None or before.design_id == bill.design_id:
        return ()
    return changes.compare(_schedule(actor, before.design), after=_schedule(actor, bill.design))


def _schedule(actor: Actor, design: Design) -> Schedule:
    sheet = designs.sheet_of(design)
    return schedule.compute(sheet, profile=standards.of_firm(actor, profile_id=sheet.profile))
