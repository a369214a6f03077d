"""The first plan of a firm: every site by itself, then what sites give each other, then the budget."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from inventory.calc.reorder import agreed, at_site, bought, moves
from inventory.calc.reorder.agreed import Allotments
from inventory.calc.reorder.bought import Bought
from inventory.calc.reorder.market import Item, Market
from inventory.calc.reorder.moves import Trip


@dataclass(frozen=True, slots=True, kw_only=True)
class OverBudget:
    """A week whose orders cost more than the firm wants to spend, although each need is bought by itself.

    Args:
        monday: first day of the week.
        amount: 1/10,000 minor units beyond the budget.
    """

    monday: date
    amount: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FirmPlan:
    """What a firm buys and moves.

    Args:
        sites: what is bought, by site, in the order of their numbers.
        trips: moves between sites.
        cost: packs, trips, keeping, expected lateness, loss on what is left over, freight of moves and worth
            of what is moved; 1/10,000 minor units.
        over_budget: weeks that cost more than the budget.
        allotments: what each site may take of totals that were agreed for several.
    """

    sites: Mapping[int, tuple[Bought, ...]]
    trips: tuple[Trip, ...]
    cost: int
    over_budget: tuple[OverBudget, ...] = ()
    allotments: Allotments = field(default_factory=dict)

    def of_sites(self, chosen: Collection[int]) -> "FirmPlan":
        """Return what these sites buy and get; the figures stay those of the firm."""
        trips = (
            replace(trip, moves=tuple(move for move in trip.moves if move.target in chosen))
            for trip in self.trips
        )
        return replace(
            self,
            sites={site: rows for site, rows in self.sites.items() if site in chosen},
            trips=tuple(trip for trip in trips if trip.moves),
        )


def first(items: Sequence[Item], *, market: Market, today: date) -> FirmPlan:
    """Make the first plan.

    Source: derived: `at_site.plan` for each site, `moves.find`, and the sites that get something once more.

    Args:
        items: every material of every site that has needs or stock, with needs' reserves set.
        market: suppliers, money at stake, roads.
        today: day of the plan.

    Returns:
        The plan; the same facts give the same plan, in whatever order the items stand.

    Raises:
        ValueError: a material stands twice at a site, or its needs or receipts have a name twice.
    """
    by_site = _by_site(items)
    plans, allotments = _each(by_site, market=market, today=today)
    by_site = {site: agreed.limited(mine, allotments=allotments) for site, mine in by_site.items()}
    trips = moves.find(plans, market=market, today=today)
    touched = {move.target for trip in trips for move in trip.moves}
    touched |= {move.source for trip in trips for move in trip.moves}
    for site in sorted(touched):
        changed = moves.with_moves(by_site[site], trips=trips)
        plans[site] = at_site.plan(changed, market=market, today=today)
    plans, over = _within_budget(plans, market=market, today=today)
    return FirmPlan(
        sites=plans,
        trips=trips,
        cost=cost(plans, trips, market=market, today=today),
        over_budget=over,
        allotments=allotments,
    )


def cost(plans: Mapping[int, Sequence[Bought]], trips: Sequence[Trip], *, market: Market, today: date) -> int:
    """Add up what plan and moves cost.

    Source: derived: `bought.cost` of each site, freight of moves, worth of what is moved.

    Args:
        plans: what is bought by site.
        trips: moves.
        market: money at stake.
        today: day of the plan.

    Returns:
        1/10,000 minor units.
    """
    total = sum(bought.cost(plan, market=market, today=today) for plan in plans.values())
    return total + sum(trip.freight + sum(move.worth for move in trip.moves) for trip in trips)


def spent_by_week(plans: Mapping[int, Sequence[Bought]], *, today: date) -> dict[date, int]:
    """Add up what is ordered in each week, by its Monday; what is overdue counts this week.

    Source: derived: sum of the packs by the day of the order.

    Args:
        plans: what is bought by site.
        today: day of the plan.

    Returns:
        1/10,000 minor units by Monday.
    """
    weeks: dict[date, int] = defaultdict(int)
    for plan in plans.values():
        for row in plan:
            for lot in row.lots:
                day = max(today, date.fromordinal(lot.chance.order_day))
                weeks[day - timedelta(days=day.weekday())] += lot.price
    return dict(weeks)


def over_budget(
    plans: Mapping[int, Sequence[Bought]], *, market: Market, today: date
) -> tuple[OverBudget, ...]:
    """Name the weeks whose orders cost more than the budget.

    Source: derived: `spent_by_week` less the budget.

    Args:
        plans: what is bought by site.
        market: money at stake.
        today: day of the plan.

    Returns:
        Weeks in their order; none without a budget.
    """
    budget = market.terms.week_budget
    if budget is None:
        return ()
    weeks = sorted(spent_by_week(plans, today=today).items())
    return tuple(OverBudget(monday=week, amount=spent - budget) for week, spent in weeks if spent > budget)


def _by_site(items: Sequence[Item]) -> dict[int, list[Item]]:
    found: dict[int, list[Item]] = defaultdict(list)
    seen = set()
    for item in sorted(items, key=lambda item: (item.plan.site_id, item.plan.material)):
        slot = (item.plan.site_id, item.plan.material)
        if slot in seen:
            raise ValueError(f"{item.plan.material} stands twice at site {item.plan.site_id}")
        seen.add(slot)
        found[item.plan.site_id].append(item)
    return found


def _each(
    by_site: Mapping[int, Sequence[Item]], *, market: Market, today: date
) -> tuple[dict[int, tuple[Bought, ...]], Allotments]:
    """Plan each site by itself, in the order of their numbers; agreed totals go to who comes first."""
    left = agreed.totals([item for mine in by_site.values() for item in mine])
    total = dict(left)
    plans: dict[int, tuple[Bought, ...]] = {}
    for site, mine in sorted(by_site.items()):
        most = {(site, key): packs for key, packs in left.items()}
        plans[site] = at_site.plan(agreed.limited(mine, allotments=most), market=market, today=today)
        for key, packs in agreed.used(plans[site]).items():
            left[key] -= packs
    if not total:
        return plans, {}
    allotments = agreed.allot(plans, total=total)
    held = {site: agreed.limited(mine, allotments=allotments) for site, mine in by_site.items()}
    return {site: at_site.plan(held[site], market=market, today=today) for site in plans}, allotments


def _within_budget(
    plans: dict[int, tuple[Bought, ...]], *, market: Market, today: date
) -> tuple[dict[int, tuple[Bought, ...]], tuple[OverBudget, ...]]:
    """Where a week is over the budget, stop buying ahead in it, the dearest site first."""
    budget = market.terms.week_budget
    if budget is None:
        return plans, ()
    plans = dict(plans)
    for site in sorted(plans, key=lambda site: (-bought.cost(plans[site], market=market, today=today), site)):
        over = {week for week, spent in spent_by_week(plans, today=today).items() if spent > budget}
        ahead = frozenset(
            row.item.plan.material
            for row in plans[site]
            for lot in row.lots
            if lot.last > lot.first and _monday(max(today.toordinal(), lot.chance.order_day)) in over
        )
        if ahead:
            items = [row.item for row in plans[site]]
            plans[site] = at_site.plan(items, market=market, today=today, apart=ahead)
    return plans, over_budget(plans, market=market, today=today)


def _monday(day: int) -> date:
    found = date.fromordinal(day)
    return found - timedelta(days=found.weekday())
