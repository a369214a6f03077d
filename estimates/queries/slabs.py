"""Slabs with how far they are: in design, bill issued, pour planned, placed, finished."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from django.db.models import Prefetch, QuerySet

from estimates.models import Bill, Design
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Pour, Slab

PAGE = 50


class State(StrEnum):
    """How far a slab is."""

    NEW = "new"
    IN_DESIGN = "in design"
    BILLED = "bill issued"
    PLANNED = "pour planned"
    POURED = "poured"
    FINISHED = "finished"


@dataclass(frozen=True)
class SlabRow:
    """A slab of the list: its state, its latest drawing, its budget and its next pour."""

    slab: Slab
    state: State
    design: Design | None
    bill: Bill | None
    next_pour: Pour | None


@dataclass(frozen=True)
class SlabSheet:
    """All that the slab's own page shows; designs and bills latest first, pours by date."""

    slab: Slab
    state: State
    designs: tuple[Design, ...]
    bills: tuple[Bill, ...]
    pours: tuple[Pour, ...]

    @property
    def design(self) -> Design | None:
        """The latest design."""
        return self.designs[0] if self.designs else None

    @property
    def bill(self) -> Bill | None:
        """The bill that is the budget now."""
        return next((row for row in self.bills if row.state == Bill.State.ISSUED), None)

    @property
    def bill_is_behind(self) -> bool:
        """Whether the budget was issued for an earlier design than the latest."""
        return self.bill is not None and self.design is not None and self.bill.design_id != self.design.pk


def listing(actor: Actor, *, start: int = 0, count: int = PAGE) -> list[SlabRow]:
    """Return the actor's slabs, unfinished ones first, then by site and name."""
    rows = scope.visible(_loaded(), actor).order_by("closed_at", "site__name", "name", "id")
    return [_row(slab) for slab in rows[start : start + count]]


def how_many(actor: Actor) -> int:
    """Return how many slabs the actor sees."""
    return scope.visible(Slab.objects.all(), actor).count()


def one(actor: Actor, *, slab_id: int) -> SlabSheet:
    """Return a slab with its designs, bills and pours; refused with NotFound when it is not the actor's."""
    slab = scope.get(_loaded(), actor, pk=slab_id)
    designs, pours = tuple(slab.designs.all()), tuple(slab.pours.all())
    bills = sorted((bill for row in designs for bill in row.bills.all()), key=lambda bill: -bill.number)
    state = _state(slab, has_design=bool(designs), has_bill=any(_current(bills)), pours=pours)
    return SlabSheet(slab=slab, state=state, designs=designs, bills=tuple(bills), pours=pours)


def _loaded() -> QuerySet[Slab]:
    bills = Bill.objects.select_related("design").order_by("-number")
    designs = Design.objects.defer("sheet").select_related("drawing", "created_by").order_by("-number")
    pours = Pour.objects.order_by("pour_date", "id")
    return Slab.objects.select_related("site").prefetch_related(
        Prefetch("designs", queryset=designs),
        Prefetch("designs__bills", queryset=bills),
        Prefetch("pours", queryset=pours),
    )


def _row(slab: Slab) -> SlabRow:
    designs, pours = list(slab.designs.all()), list(slab.pours.all())
    bill = next(iter(_current(bill for row in designs for bill in row.bills.all())), None)
    return SlabRow(
        slab=slab,
        state=_state(slab, has_design=bool(designs), has_bill=bill is not None, pours=pours),
        design=designs[0] if designs else None,
        bill=bill,
        next_pour=next((pour for pour in pours if pour.state == Pour.State.PLANNED), None),
    )


def _current(bills: Iterable[Bill]) -> list[Bill]:
    return [bill for bill in bills if bill.state == Bill.State.ISSUED]


def _state(slab: Slab, *, has_design: bool, has_bill: bool, pours: Iterable[Pour]) -> State:
    if slab.closed_at is not None:
        return State.FINISHED
    states = {pour.state for pour in pours}
    if states and Pour.State.PLANNED not in states:
        return State.POURED
    if states and has_bill:
        return State.PLANNED
    if has_bill:
        return State.BILLED
    return State.IN_DESIGN if has_design else State.NEW
