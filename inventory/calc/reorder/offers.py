"""Which offer to buy by: for each need the cheapest that comes in time; then the netting in its packs."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction
from itertools import groupby

from inventory.calc.reorder import suggestions, workdays
from inventory.calc.reorder.facts import Need, Receipt
from inventory.calc.reorder.lots import Pack
from inventory.calc.reorder.suggestions import PlanItem, Suggestion
from inventory.calc.reorder.workdays import Calendar


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """What a supplier asks for a pack.

    Args:
        key: number of the offer, passed through and used to settle a tie.
        content: stock units in the pack, above 0.
        pack_price: 1/10,000 minor unit for one pack on site, 0 or more.
        minimum_packs: least packs in one order, above 0.
        lead_days: working days from order to delivery, 0 or more.
    """

    key: int
    content: int
    pack_price: int
    minimum_packs: int = 1
    lead_days: int = 0

    def __post_init__(self) -> None:
        if self.content <= 0 or self.minimum_packs <= 0:
            raise ValueError(
                f"offer {self.key}: content {self.content} and minimum {self.minimum_packs} must be above 0"
            )
        if self.pack_price < 0 or self.lead_days < 0:
            raise ValueError(
                f"offer {self.key}: price {self.pack_price} and lead {self.lead_days} must be 0 or more"
            )

    @property
    def unit_price(self) -> Fraction:
        """1/10,000 minor units for one stock unit, exactly."""
        return Fraction(self.pack_price, self.content)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """The offer for one need, and whether an order of today still comes in time by it."""

    offer: Offer
    in_time: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """A suggestion with the offer that it is bought by, None when nobody offers the material."""

    suggestion: Suggestion
    choice: Choice | None


def comes_in_time(offer: Offer, *, need_date: date, item: PlanItem, today: date) -> bool:
    """Say whether an order of today comes before the need, with the safety days to spare.

    Source: common practice: order-by = need - safety - lead time, in working days.

    Args:
        offer: the offer with its lead time.
        need_date: day of the need.
        item: safety days and calendar of the site.
        today: the day of the order.

    Returns:
        True when the day to order by is not over.

    >>> item = PlanItem(site_id=1, material="cement", needs=(), safety_days=1)
    >>> slow = Offer(key=1, content=50, pack_price=1, lead_days=3)
    >>> monday = date(2025, 3, 3)
    >>> [comes_in_time(slow, need_date=date(2025, 3, n), item=item, today=monday) for n in (6, 7)]
    [False, True]
    """
    days = item.safety_days + offer.lead_days
    return workdays.back(need_date, working_days=days, calendar=item.calendar) >= today


def choose(offers: Sequence[Offer], *, need_date: date, item: PlanItem, today: date) -> Choice | None:
    """Choose the offer for a need: the lowest price per stock unit that comes in time, else the lowest.

    Source: derived: least price on site per stock unit; of equals the shorter lead, then the older offer.

    Args:
        offers: offers of one material.
        need_date: day of the need.
        item: safety days and calendar of the site.
        today: the day of the order.

    Returns:
        The choice, or None without offers.

    >>> item = PlanItem(site_id=1, material="cement", needs=())
    >>> near = Offer(key=1, content=50, pack_price=420, lead_days=1)
    >>> far = Offer(key=2, content=50, pack_price=400, lead_days=4)
    >>> days = [date(2025, 3, 5), date(2025, 3, 7)]
    >>> [choose([near, far], need_date=d, item=item, today=date(2025, 3, 3)).offer.key for d in days]
    [1, 2]
    """
    timed = {o.key: comes_in_time(o, need_date=need_date, item=item, today=today) for o in offers}
    ranked = sorted(offers, key=lambda o: (not timed[o.key], o.unit_price, o.lead_days, o.key))
    return Choice(offer=ranked[0], in_time=timed[ranked[0].key]) if ranked else None


def suggest(item: PlanItem, *, offers: Sequence[Offer], default: Pack, today: date) -> tuple[Chosen, ...]:
    """Work out what to buy for one material at one site, each need by its own best offer.

    Needs that follow each other and share an offer are netted together; what was planned for the earlier ones
    counts as coming in when the later ones are netted, so that its surplus serves them.
    Source: derived from `suggestions.suggest`, run once for each change of offer.

    Args:
        item: needs, supply, safety days and calendar; its pack and lead time are replaced by the offer's.
        offers: offers of the material on `today`.
        default: pack to count in when nobody offers the material.
        today: first day of the plan.

    Returns:
        Suggestions in the order of their needs.

    >>> monday = date(2025, 3, 3)
    >>> days = {"a": monday + timedelta(days=2), "b": monday + timedelta(days=9)}
    >>> needs = tuple(Need(key=key, quantity=120, day=day) for key, day in days.items())
    >>> item = PlanItem(site_id=1, material="cement", needs=needs)
    >>> near = Offer(key=1, content=50, pack_price=420, lead_days=1)
    >>> far = Offer(key=2, content=50, pack_price=400, lead_days=4)
    >>> found = suggest(item, offers=[near, far], default=Pack(content=50), today=monday)
    >>> [(c.suggestion.need_key, c.choice.offer.key, c.suggestion.packs) for c in found]
    [('a', 1, 3), ('b', 2, 2)]
    """
    ordered = sorted(item.needs, key=lambda need: (need.day, need.key))
    chosen = [(n, choose(offers, need_date=n.day, item=item, today=today)) for n in ordered]
    found: list[Chosen] = []
    served: list[Need] = []
    planned: tuple[Receipt, ...] = ()
    for choice, run in groupby(chosen, key=lambda pair: pair[1]):
        mine = [need for need, _choice in run]
        served += mine
        part = _with_offer(item, needs=served, planned=planned, choice=choice, default=default)
        wanted = {need.key for need in mine}
        news = [s for s in suggestions.suggest(part, today=today) if s.need_key in wanted]
        found += [Chosen(suggestion=suggestion, choice=choice) for suggestion in news]
        planned += tuple(_coming_in(one, today=today) for one in news)
    return tuple(found)


def with_planned(item: PlanItem, *, chosen: Sequence[Chosen], today: date) -> PlanItem:
    """Add what is suggested to what is on its way, to show how the stock runs if it is bought.

    Source: derived: each suggestion comes in on the day of its need.

    Args:
        item: needs and supply.
        chosen: suggestions of the same item.
        today: first day of the plan.

    Returns:
        The item with one more receipt for each suggestion, in stock units.

    >>> empty = PlanItem(site_id=1, material="cement", needs=())
    >>> with_planned(empty, chosen=(), today=date(2025, 3, 3)).needs
    ()
    """
    planned = tuple(_coming_in(one.suggestion, today=today) for one in chosen)
    return replace(item, supply=replace(item.supply, receipts=item.supply.receipts + planned))


def _coming_in(found: Suggestion, *, today: date) -> Receipt:
    return Receipt(
        key=f"plan:{found.need_key}", quantity=found.quantity, expected=max(found.need_date, today)
    )


def arrival(order_date: date, *, lead_days: int, calendar: Calendar) -> date:
    """Tell on which day an order comes at the earliest.

    Source: derived: the first day from which `workdays.back` leads to the day of the order or a later one.

    Args:
        order_date: day of the order.
        lead_days: working days from order to delivery, 0 or more.
        calendar: which days are worked.

    Returns:
        A worked day, not before `order_date`.

    >>> arrival(date(2025, 2, 28), lead_days=2, calendar=Calendar(days_off=frozenset({6})))
    datetime.date(2025, 3, 3)
    """
    day = order_date
    while (
        not workdays.is_worked(day, calendar=calendar)
        or workdays.back(day, working_days=lead_days, calendar=calendar) < order_date
    ):
        day += timedelta(days=1)
    return day


def _with_offer(
    item: PlanItem,
    *,
    needs: Sequence[Need],
    planned: tuple[Receipt, ...],
    choice: Choice | None,
    default: Pack,
) -> PlanItem:
    supply = replace(item.supply, receipts=item.supply.receipts + planned, pack=default)
    if choice is None:
        return replace(item, needs=tuple(needs), supply=supply, lead_days=0)
    offer = choice.offer
    pack = Pack(content=offer.content, minimum=offer.minimum_packs * offer.content)
    return replace(item, needs=tuple(needs), supply=replace(supply, pack=pack), lead_days=offer.lead_days)
