"""What a person should look at beside a plan: what is over already, and open orders that come too late."""

from collections.abc import Iterable, Sequence
from datetime import date

from inventory.calc.reorder.facts import Line, Need, Notice, Receipt


def past_due(needs: Iterable[Need], *, receipts: Iterable[Receipt], first_day: date) -> tuple[Notice, ...]:
    """Name the needs and the open orders whose day was over before the plan starts.

    Source: common practice of requirements planning: what is past due is an exception, never a silent shift.

    Args:
        needs: dated needs.
        receipts: what open orders will still bring.
        first_day: first day of the plan.

    Returns:
        Notices in the order of their days, needs first: `need_past_due` and `receipt_overdue`.

    >>> late = Need(key="a", quantity=5, day=date(2025, 3, 1))
    >>> [(notice.code, notice.days) for notice in past_due([late], receipts=(), first_day=date(2025, 3, 4))]
    [('need_past_due', 3)]
    """
    dated = [
        [("need_past_due", need.key, need.day, need.quantity) for need in needs],
        [("receipt_overdue", receipt.key, receipt.expected, receipt.quantity) for receipt in receipts],
    ]
    return tuple(
        Notice(code=code, key=key, day=day, quantity=quantity, days=(first_day - day).days)
        for kind in dated
        for code, key, day, quantity in sorted(kind, key=lambda entry: (entry[2], entry[1]))
        if day < first_day
    )


def after_need(lines: Sequence[Line], *, receipts: Iterable[Receipt]) -> tuple[Notice, ...]:
    """Name each open order that comes after a need which lacks it: asked for sooner, less has to be bought.

    Source: common practice of requirements planning: expedite an open order before buying more.

    Args:
        lines: the netted needs, in order.
        receipts: what open orders will still bring.

    Returns:
        One `receipt_after_need` per such order, in the order of their days: at most the quantity that lacks
        before it (stock units), and the days by which it comes after the first need that lacks.

    >>> after_need([], receipts=())
    ()
    """
    lacking = [line for line in lines if line.net]
    found = []
    for receipt in sorted(receipts, key=lambda receipt: (receipt.expected, receipt.key)):
        earlier = [line for line in lacking if line.day < receipt.expected]
        if earlier:
            found.append(
                Notice(
                    code="receipt_after_need",
                    key=receipt.key,
                    day=receipt.expected,
                    quantity=min(receipt.quantity, sum(line.net for line in earlier)),
                    days=(receipt.expected - earlier[0].day).days,
                )
            )
    return tuple(found)
