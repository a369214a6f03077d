"""The improved plan of a firm: each site exactly, then what sites give each other, then what that changes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from inventory.calc.reorder import agreed, at_site, bought, exact, firm, moves, sizing
from inventory.calc.reorder.bought import Bought, Loads
from inventory.calc.reorder.exact import Limits
from inventory.calc.reorder.firm import FirmPlan
from inventory.calc.reorder.market import Item, Market
from inventory.calc.reorder.program import Clock
from inventory.calc.reorder.sizing import Lot

WINDOW_DAYS = 45
"""Needs up to so many days ahead are planned exactly; what follows is planned at once, beside them."""

LEAST_SITE_SECONDS = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Graded:
    """An improved plan.

    Args:
        plan: the plan, never dearer than the first one.
        first_cost: what the first plan costs, 1/10,000 minor units.
        window_cost: what the lots of the window cost.
        bound: no lots for the needs of the window cost less.
        proven: whether every site of it is proven.
        timed_out: whether time ended the search, so that another run may find more.
    """

    plan: FirmPlan
    first_cost: int
    window_cost: int
    bound: int
    proven: bool
    timed_out: bool

    @property
    def gap_ppm(self) -> int:
        """How far the window's cost may be from the least, in millionths of it."""
        if self.window_cost <= 0:
            return 0
        return (self.window_cost - self.bound) * 1_000_000 // self.window_cost


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """Time for the search: the clock, seconds in all, and nodes for each site."""

    clock: Clock
    seconds: float
    nodes: int = 2_000


def improve(items: Sequence[Item], *, first: FirmPlan, market: Market, today: date, budget: Budget) -> Graded:
    """Improve a first plan within a time budget.

    Each site gets its share of the time that is left. Then trips between sites are looked for anew, beside
    the better plans, and the sites that they change are planned exactly once more. A step that does not save
    is not taken. The same input gives the same plan unless time ends the search.
    Source: `exact.improve` by site, `moves.find` between sites.

    Args:
        items: every material of every site.
        first: the first plan of the same items.
        market: suppliers, money at stake, roads.
        today: day of the plan.
        budget: time for the search.

    Returns:
        The plan with its bound and gap.
    """
    search = _Search(items, first=first, market=market, today=today, budget=budget)
    plans = search.sites(dict(first.sites), chosen=tuple(first.sites))
    better = replace(first, sites=plans, cost=firm.cost(plans, first.trips, market=market, today=today))
    best = better if better.cost < first.cost else first
    if market.terms.freight is not None or market.roads:
        other = search.with_new_trips(best)
        best = other if other.cost < best.cost else best
    over = firm.over_budget(best.sites, market=market, today=today)
    best = replace(best, over_budget=over)
    window = sum(search.window_costs.values())
    return Graded(
        plan=best,
        first_cost=first.cost,
        window_cost=window,
        bound=min(window, sum(search.bounds.values())),
        proven=all(search.proven.values()),
        timed_out=search.timed_out,
    )


class _Search:
    """One search: what it knows of each site, and the time that is left."""

    def __init__(
        self, items: Sequence[Item], *, first: FirmPlan, market: Market, today: date, budget: Budget
    ) -> None:
        self.first, self.market, self.today, self.budget = first, market, today, budget
        self.items = agreed.limited(items, allotments=first.allotments)
        self.begun = budget.clock()
        self.bounds: dict[int, int] = {}
        self.window_costs: dict[int, int] = {}
        self.proven: dict[int, bool] = {}
        self.timed_out = False

    def left(self) -> float:
        """Seconds that are left."""
        return self.budget.seconds - (self.budget.clock() - self.begun)

    def sites(
        self, plans: dict[int, tuple[Bought, ...]], *, chosen: Sequence[int]
    ) -> dict[int, tuple[Bought, ...]]:
        """Plan the chosen sites exactly, each within its share of the time."""
        weeks = _week_most(plans, market=self.market, today=self.today)
        for number, site in enumerate(chosen):
            rows = plans[site]
            seconds = self.left() / (len(chosen) - number)
            if seconds < LEAST_SITE_SECONDS:
                self.timed_out = True
                self._keep(site, rows)
                continue
            plans[site] = self._site(site, rows, seconds=seconds, week_most=weeks.get(site))
        return plans

    def with_new_trips(self, plan: FirmPlan) -> FirmPlan:
        """Look for trips anew beside a plan without any, and plan the sites that they change once more."""
        by_site: dict[int, list[Item]] = {}
        for item in sorted(self.items, key=lambda item: (item.plan.site_id, item.plan.material)):
            by_site.setdefault(item.plan.site_id, []).append(item)
        had = _touched(plan)
        bare = {
            site: at_site.plan(by_site[site], market=self.market, today=self.today) if site in had else rows
            for site, rows in plan.sites.items()
        }
        trips = moves.find(bare, market=self.market, today=self.today)
        if trips == plan.trips:
            return plan
        other = replace(plan, trips=trips, sites=bare)
        plans = dict(bare)
        for site in sorted(_touched(other)):
            changed = moves.with_moves(by_site[site], trips=trips)
            plans[site] = at_site.plan(changed, market=self.market, today=self.today)
        known = (dict(self.bounds), dict(self.window_costs), dict(self.proven))
        plans = self.sites(plans, chosen=sorted(had | _touched(other)))
        cost = firm.cost(plans, trips, market=self.market, today=self.today)
        if cost >= plan.cost:
            self.bounds, self.window_costs, self.proven = known
        return replace(other, sites=plans, cost=cost)

    def _site(
        self, site: int, rows: tuple[Bought, ...], *, seconds: float, week_most: Mapping[date, int] | None
    ) -> tuple[Bought, ...]:
        before = self.budget.clock()
        heads = [_head(row, until=self.today + timedelta(days=WINDOW_DAYS)) for row in rows]
        found = exact.improve(
            heads,
            market=self.market,
            today=self.today,
            limits=Limits(seconds=seconds, nodes=self.budget.nodes),
            week_most=week_most,
        )
        if not found.proven and self.budget.clock() - before >= seconds:
            self.timed_out = True
        self.bounds[site], self.window_costs[site] = found.bound, found.cost
        self.proven[site] = found.proven
        after = tuple(self._with_tail(row, head=head) for row, head in zip(rows, found.rows, strict=True))
        costs = [bought.cost(one, market=self.market, today=self.today) for one in (rows, after)]
        if costs[1] < costs[0] and self._holds(after):
            return after
        self._keep(site, rows)
        self.bounds[site], self.proven[site] = min(found.bound, self.window_costs[site]), found.proven
        return rows

    def _holds(self, rows: Sequence[Bought]) -> bool:
        """Whether window and what follows it keep together to what suppliers ask and what was agreed."""
        most = agreed.totals([row.item for row in rows])
        within = all(packs <= most[key] for key, packs in agreed.used(rows).items())
        return within and not bought.below_least(rows, market=self.market)

    def _keep(self, site: int, rows: Sequence[Bought]) -> None:
        heads = [_head(row, until=self.today + timedelta(days=WINDOW_DAYS)) for row in rows]
        self.window_costs[site] = bought.cost(heads, market=self.market, today=self.today)
        self.bounds.setdefault(site, 0)
        self.proven.setdefault(site, False)

    def _with_tail(self, row: Bought, *, head: Bought) -> Bought:
        """Add lots for the needs beyond the window; what the window leaves over serves them first."""
        cut = len(head.demands)
        if cut == len(row.demands):
            return head
        left = sum(lot.quantity for lot in head.lots) - sum(demand.quantity for demand in head.demands)
        tail = list(row.demands[cut:])
        numbers = list(range(cut, len(row.demands)))
        while tail and left >= tail[0].quantity:
            left -= tail[0].quantity
            tail.pop(0)
            numbers.pop(0)
        if tail and left > 0:
            tail[0] = replace(tail[0], quantity=tail[0].quantity - left)
        rules = at_site.rules_of(row.item, market=self.market, loads=Loads(), today=self.today, apart=False)
        lots = [
            replace(lot, first=numbers[lot.first], last=numbers[lot.last])
            for lot in sizing.cheapest(tail, rules=rules)
        ]
        try:
            return bought.of_lots(row.item, demands=row.demands, lots=[*head.lots, *lots])
        except ValueError:
            return row


def _head(row: Bought, *, until: date) -> Bought:
    """Cut an item down to the needs up to a day, and those that its lots bring with them."""
    cut = sum(demand.day <= until.toordinal() for demand in row.demands)
    lots: list[Lot] = []
    for lot in row.lots:
        if lot.first < cut:
            lots.append(lot)
            cut = max(cut, lot.last + 1)
    served = tuple(one for one in row.served if one.demand < cut and one.lot < len(lots))
    return replace(row, demands=row.demands[:cut], lots=tuple(lots), served=served)


def _touched(plan: FirmPlan) -> set[int]:
    moved = [move for trip in plan.trips for move in trip.moves]
    return {move.target for move in moved} | {move.source for move in moved}


def _week_most(
    plans: Mapping[int, Sequence[Bought]], *, market: Market, today: date
) -> dict[int, dict[date, int]]:
    """Divide what the week's budget leaves free: each site may spend what it does and a part of the rest."""
    budget = market.terms.week_budget
    if budget is None:
        return {}
    spent = firm.spent_by_week(plans, today=today)
    found = {}
    for site, rows in plans.items():
        own = firm.spent_by_week({site: rows}, today=today)
        found[site] = {
            week: own.get(week, 0) + max(0, budget - total) // len(plans) for week, total in spent.items()
        }
    return found
