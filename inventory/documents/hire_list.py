"""The register of hire as a table: names for programs, not translated; money only for who may see it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Final

from babel.numbers import get_currency_precision

from estimates.documents import cells
from inventory.queries import hires
from inventory.queries.hires import HireRow, Wanted
from projects.access.actor import Actor
from projects.access.permissions import Permission

NAME: Final = "hire.csv"
RATE_PLACES: Final = 4
HEAD: Final = (
    *("number", "site", "supplier", "kind", "what", "slab", "pour", "delivery_note"),
    *("pieces", "came_on", "planned_back", "back", "damaged", "lost", "still_out", "late_days", "piece_days"),
)
MONEY: Final = (
    *("rate", "basis", "day_count", "minimum_days"),
    *("charges", "cost_so_far", "cost_at_planned_end", "currency"),
)


def csv(actor: Actor, *, wanted: Wanted, today: date) -> bytes:
    """Return the hires as CSV; piece_days are those charged so far, by the day count of the hire."""
    money = actor.can(Permission.SEE_MONEY)
    found = hires.listing(actor, wanted=wanted, today=today)
    head = [*HEAD, *(MONEY if money else ())]
    rows = ([*_plain(row), *(_money(row, actor=actor) if money else ())] for row in found)
    return cells.text(head=head, rows=rows).encode()


def _plain(row: HireRow) -> Iterator[object]:
    hire, standing = row.hire, row.standing
    yield from (hire.number, hire.site.name, hire.supplier.name, hire.material.code, hire.what)
    yield from (hire.slab.name if hire.slab else "", hire.pour.name if hire.pour else "", hire.note_number)
    yield from (hire.pieces, hire.out_date.isoformat(), hire.due_date.isoformat())
    yield from (row.back, row.damaged, row.lost, standing.still_out, standing.late_days, standing.piece_days)


def _money(row: HireRow, *, actor: Actor) -> Iterator[object]:
    hire, places = row.hire, get_currency_precision(actor.currency)
    yield None if hire.rate is None else Decimal(hire.rate).scaleb(-places - RATE_PLACES)
    yield from (hire.basis, hire.day_count, hire.minimum_days)
    for minor in (row.charges_minor, row.cost_minor, row.cost_at_end_minor):
        yield None if minor is None else Decimal(minor).scaleb(-places)
    yield actor.currency
