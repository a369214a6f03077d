"""Everything that a site began with, in one act: stock, open orders, unpaid bills, slabs half cast."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime

from inventory.services import opening, opening_bills, opening_orders
from inventory.services.opening import OpeningAct, OpeningLineAct
from inventory.services.opening_bills import OwedBillAct
from inventory.services.opening_orders import EarlierOrderAct
from projects.access import scope
from projects.access.actor import Actor
from projects.errors import Refused
from projects.models import Site
from projects.services.acts import business_act


@dataclass(frozen=True)
class UsedAct:
    """What a pour had used when the firm began here, with what it had cost."""

    pour_id: int
    lines: tuple[OpeningLineAct, ...]


@dataclass(frozen=True)
class BookAct:
    """What a site began with, by subject; a subject without lines is left out."""

    site_id: int
    stock: tuple[OpeningLineAct, ...] = ()
    orders: tuple[EarlierOrderAct, ...] = ()
    bills: tuple[OwedBillAct, ...] = ()
    used: tuple[UsedAct, ...] = ()


@business_act(result=Site)
def record(*, actor: Actor, act: BookAct, key: str, now: datetime) -> Site:
    """Take all of it in, or nothing; refused as each part is, naming its `subject` and `part`."""
    site = scope.get(Site.objects.all(), actor, pk=act.site_id)
    if act.stock:
        with _part("stock", 1):
            stock = OpeningAct(site_id=site.pk, happened_at=None, lines=act.stock)
            opening.put(actor=actor, act=stock, key=f"{key}~stock", now=now)
    for n, order in enumerate(act.orders, start=1):
        with _part("orders", n):
            opening_orders.put(actor=actor, act=order, now=now)
    for n, bill in enumerate(act.bills, start=1):
        with _part("bills", n):
            opening_bills.put(actor=actor, act=bill, now=now)
    for n, used in enumerate(act.used, start=1):
        with _part("used", n):
            had = OpeningAct(site_id=site.pk, happened_at=None, lines=used.lines, pour_id=used.pour_id)
            opening.put(actor=actor, act=had, key=f"{key}~used{n}", now=now)
    return site


@contextmanager
def _part(subject: str, n: int) -> Iterator[None]:
    """Name the subject at fault, and which of it, in a refusal."""
    try:
        yield
    except Refused as refused:
        refused.params |= {"subject": subject, "part": n}
        raise
