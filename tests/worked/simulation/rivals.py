"""Three plain ways to order, as firms do it by hand: all at once, at a fixed level, exactly when due.

Each adds the same margin to what a bill says, and gets what a standing pour lacks from the fastest seller.
"""

from __future__ import annotations

from collections import defaultdict

from inventory.calc.reorder import workdays
from tests.worked.simulation.running import Known, View, Wanted
from tests.worked.simulation.world import CALENDAR, KINDS, SELLERS

LEVEL_POURS = 1.5
LOT_POURS = 2.0
MARGIN = 1.05


def all_at_start():
    """Order whatever a slab needs the evening its programme is known, each from the cheapest seller."""
    ordered: set[str] = set()

    def decide(view: View) -> list[Wanted]:
        missing = defaultdict(int)
        for pour in view.pours:
            if pour.key not in ordered:
                ordered.add(pour.key)
                for kind, quantity in _with_margin(pour):
                    missing[pour.site, kind] += quantity
        return [_wanted(view, site, kind, quantity) for (site, kind), quantity in missing.items()] + _urgent(
            view, but=missing
        )

    return decide


def at_fixed_level(level: float = LEVEL_POURS, lot: float = LOT_POURS):
    """Order a fixed lot when what lies there and is on its way falls below a fixed level."""

    def decide(view: View) -> list[Wanted]:
        found = []
        for (site, kind), pours in _needs(view).items():
            total = sum(pours)
            mean = total / len(pours)
            have = _position(view, site, kind)
            if have < min(total, level * mean):
                found.append(_wanted(view, site, kind, min(total - have, round(lot * mean))))
        return found + _urgent(view, but={(one.site, one.kind): one.packs for one in found})

    return decide


def exactly_when_due():
    """Order what a pour lacks on the last day from which the seller's word still brings it in time."""

    def decide(view: View) -> list[Wanted]:
        lacking = defaultdict(int)
        have = {}
        for pour in sorted(view.pours, key=lambda pour: (pour.day, pour.key)):
            for kind, quantity in _with_margin(pour):
                slot = (pour.site, kind)
                have.setdefault(slot, _position(view, *slot))
                net = max(0, quantity - max(0, have[slot]))
                have[slot] -= quantity
                lead = SELLERS[_cheapest(view, kind)].lead_days
                if net and workdays.back(pour.day, working_days=lead, calendar=CALENDAR) <= view.day:
                    lacking[slot] += net
        fast = _urgent(view, but={})
        urgent = {(one.site, one.kind) for one in fast}
        return fast + [_wanted(view, *slot, net) for slot, net in lacking.items() if slot not in urgent]

    return decide


def _urgent(view: View, *, but) -> list[Wanted]:
    """What a pour that stands still lacks is got from the fastest seller, by every policy alike."""
    lacking = defaultdict(int)
    for pour in view.pours:
        if pour.stood:
            for kind, quantity in pour.needs.items():
                lacking[pour.site, kind] += quantity
    found = []
    for (site, kind), quantity in lacking.items():
        short = quantity - _position(view, site, kind)
        if short > 0 and (site, kind) not in but:
            found.append(_wanted(view, site, kind, short, fastest=True))
    return found


def _needs(view: View):
    found = defaultdict(list)
    for pour in view.pours:
        for kind, quantity in _with_margin(pour):
            found[pour.site, kind].append(quantity)
    return found


def _with_margin(pour: Known) -> list[tuple[str, int]]:
    """What a pour needs with the margin of the hand; one that stood knows what it takes."""
    return [(kind, need if pour.stood else round(need * MARGIN)) for kind, need in pour.needs.items()]


def _position(view: View, site: str, kind: str) -> int:
    lying = sum(heap.quantity for heap in view.stock.get((site, kind), ()))
    return lying + sum(one.quantity for one in view.coming if (one.site, one.kind) == (site, kind))


def _wanted(view: View, site: str, kind: str, quantity: int, *, fastest: bool = False) -> Wanted:
    seller = _fastest(kind) if fastest else _cheapest(view, kind)
    return Wanted(site, kind, -(-quantity // KINDS[kind].content), seller)


def _cheapest(view: View, kind: str) -> str:
    sellers = [code for code, seller in SELLERS.items() if kind in seller.prices]
    return min(sellers, key=lambda code: (view.price(code, kind), code))


def _fastest(kind: str) -> str:
    return min((seller.lead_days, code) for code, seller in SELLERS.items() if kind in seller.prices)[1]
