"""What a phone may write offline: slips and receipts, what each names, and how it is corrected and posted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from estimates.models import Material, Pack
from inventory.models import Lot, OfflineEntry, OrderLine, PurchaseOrder, Supplier
from inventory.services import deliveries, usage
from inventory.services.receipt_acts import ReceiptAct
from inventory.services.usage import IssueAct, ReturnAct, WasteAct
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Stale
from projects.models import Pour, Site

Kind = OfflineEntry.Kind
WrittenAct = IssueAct | ReturnAct | WasteAct | ReceiptAct

MOST_LINES = max(usage.MOST_LINES, deliveries.MOST_LINES)


class OrderEnded(Stale):
    """The order of a delivery was cancelled, or all of it had come, before the phone's receipt arrived."""

    code = "order_ended"


@dataclass(frozen=True)
class WrittenKind:
    """A kind of act: its service, what posting makes of it, and what writing and posting it need."""

    act: type[WrittenAct]
    service: Callable[..., Any]
    result: str
    needs: Permission


KINDS = {
    Kind.ISSUE: WrittenKind(IssueAct, usage.issue, "slip", Permission.MOVE_STOCK),
    Kind.RETURN: WrittenKind(ReturnAct, usage.bring_back, "slip", Permission.MOVE_STOCK),
    Kind.WASTE: WrittenKind(WasteAct, usage.waste, "slip", Permission.MOVE_STOCK),
    Kind.RECEIPT: WrittenKind(ReceiptAct, deliveries.record, "receipt", Permission.RECORD_RECEIPTS),
}


def of(act: WrittenAct) -> Kind:
    """Name the kind of an act."""
    return next(kind for kind, known in KINDS.items() if known.act is type(act))


def where(act: WrittenAct, *, actor: Actor) -> tuple[Site, Pour | None]:
    """Find the site and pour that the actor may see, whatever their state."""
    site = None
    if isinstance(act, WasteAct | ReceiptAct):
        site = scope.get(Site.objects.all(), actor, pk=act.site_id)
        if isinstance(act, ReceiptAct) or act.pour_id is None:
            return site, None
    at_site = {} if site is None else {"slab__site": site}
    lookup: dict[str, Any] = {"pk": act.pour_id, **at_site}
    pour = scope.get(Pour.objects.select_related("slab__site"), actor, **lookup)
    return pour.slab.site, pour


def require_own(act: WrittenAct, *, actor: Actor) -> None:
    """Refuse, as not found, an act that names what is not the firm's: that is nothing to hold."""
    if not 0 < len(act.lines) <= MOST_LINES:
        message = _("A slip has between 1 and %(most)s lines; this one has %(count)s.")
        raise usage.NoLines(message % {"most": MOST_LINES, "count": len(act.lines)}, field="lines")
    if isinstance(act, ReceiptAct):
        scope.get(Supplier.objects.all(), actor, pk=act.supplier_id)
        if act.order_id is not None:
            scope.get(PurchaseOrder.objects.all(), actor, pk=act.order_id)
    for line in act.lines:
        material = scope.get(Material.objects.all(), actor, pk=line.material_id)
        if line.pack_id is not None:
            scope.get(Pack.objects.all(), actor, pk=line.pack_id)
        lot_id, order_line_id = getattr(line, "lot_id", None), getattr(line, "order_line_id", None)
        if lot_id is not None:
            scope.get(Lot.objects.all(), actor, pk=lot_id, material=material)
        if order_line_id is not None:
            scope.get(OrderLine.objects.all(), actor, pk=order_line_id)


def require_open_order(act: WrittenAct, *, actor: Actor) -> None:
    """Refuse with `order_ended` a delivery whose order had ended, which the phone did not know."""
    if not isinstance(act, ReceiptAct) or act.order_id is None:
        return
    order = scope.get(PurchaseOrder.objects.all(), actor, pk=act.order_id)
    if order.state == PurchaseOrder.State.CANCELLED:
        message = _("Order %(number)s was cancelled. If the load came all the same, post it as not ordered.")
    elif order.state == PurchaseOrder.State.CLOSED:
        message = _(
            "Order %(number)s was closed before this arrived: all of it had come, or somebody ended it. If "
            "it is a load that is recorded already, give it up; if it came beside that, post it."
        )
    else:
        return
    raise OrderEnded(message % {"number": order.number}, field="order_id", order=order.number)


def with_amounts(act: WrittenAct, *, amounts: Sequence[Decimal | None]) -> WrittenAct:
    """Return the act with other amounts, line by line: None leaves a line as it is, 0 strikes it out.

    What is found of a load by correction is a figure, and no longer follows from readings.
    """
    kept: list[Any] = []
    lines: tuple[Any, ...] = act.lines
    for line, amount in zip(lines, amounts, strict=True):
        if amount is None:
            kept.append(line)
        elif amount and isinstance(act, ReceiptAct):
            kept.append(replace(line, found=amount, measurement=None))
        elif amount:
            kept.append(replace(line, amount=amount))
    same: Any = act
    made: WrittenAct = replace(same, lines=tuple(kept))
    return made
