"""The year let run: loads come, pours are placed or stand, and somebody decides every evening."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from inventory.calc.reorder import workdays
from tests.worked.simulation import world as drawn
from tests.worked.simulation.world import CALENDAR, KINDS, SELLERS, Pour, World


@dataclass(frozen=True)
class Heap:
    """Stock of one delivery: units, what one unit cost, the last day of use."""

    quantity: int
    cost: float
    until: date


@dataclass(frozen=True)
class Wanted:
    """Packs of a kind ordered of a seller for a site, or moved from another site (`seller` is None)."""

    site: str
    kind: str
    packs: int
    seller: str | None = None
    source: str | None = None


@dataclass(frozen=True)
class Coming:
    """What is on its way: promised for a day, as the firm knows it."""

    site: str
    kind: str
    quantity: int
    promised: date
    seller: str | None


@dataclass(frozen=True)
class Known:
    """A pour as the firm knows it today; one that stood knows what it takes."""

    key: str
    site: str
    day: date
    needs: dict[str, int]
    stood: bool


@dataclass(frozen=True)
class View:
    """All that the firm knows in the evening of a day."""

    day: date
    world: World
    stock: dict[tuple[str, str], tuple[Heap, ...]]
    coming: tuple[Coming, ...]
    pours: tuple[Known, ...]
    record: dict[str, tuple[tuple[int, float], ...]]

    def price(self, seller: str, kind: str) -> int:
        return drawn.price(SELLERS[seller], kind, day=self.day)


Policy = Callable[[View], list[Wanted]]


@dataclass
class Books:
    """What the year came to."""

    placed: int = 0
    stopped: set[str] = field(default_factory=set)
    stopped_days: int = 0
    paid: float = 0.0
    freight: float = 0.0
    capital: float = 0.0
    tied_up: float = 0.0
    stale: float = 0.0
    left: float = 0.0
    days: int = 0
    bought: dict[str, int] = field(default_factory=dict)
    used: dict[str, int] = field(default_factory=dict)
    gone_stale: dict[str, int] = field(default_factory=dict)
    remains: dict[str, int] = field(default_factory=dict)

    @property
    def total(self) -> float:
        """Paid, freight, capital and pours that stood, less what the rest still brings."""
        stood = drawn.STOP_COST * self.stopped_days
        return self.paid + self.freight + self.capital + stood - drawn.LEFT_OVER_SHARE * self.left

    def row(self) -> dict[str, float]:
        """The figures of the table."""
        return {
            "pours": self.placed,
            "stopped pours": len(self.stopped),
            "stopped days": self.stopped_days,
            "money tied up": round(self.tied_up / max(self.days, 1)),
            "stale cement": round(self.stale),
            "freight": round(self.freight),
            "total cost": round(self.total),
        }


@dataclass(frozen=True)
class _Load:
    site: str
    kind: str
    quantity: int
    cost: float
    arrives: date
    known: Coming
    until: date
    ordered: int
    late: tuple[int, float] | None


class Year:
    """One run of a world under one policy."""

    def __init__(self, world: World, *, policy: Policy) -> None:
        self.world, self.policy, self.books = world, policy, Books()
        self.stock: dict[tuple[str, str], tuple[Heap, ...]] = {}
        self.road: list[_Load] = []
        self.record = {code: drawn.record(seller) for code, seller in SELLERS.items()}
        self.waiting: dict[str, tuple[Pour, date, bool]] = {}
        self._trips: dict[tuple[str, str], int] = {}

    def run(self) -> Books:
        """Let every day pass and close the books."""
        pours = sorted(self.world.pours, key=lambda pour: (pour.known, pour.key))
        day = drawn.FIRST_DAY
        while day <= self.world.last_day:
            while pours and pours[0].known <= day:
                pour = pours.pop(0)
                self.waiting[pour.key] = (pour, pour.day, False)
            if workdays.is_worked(day, calendar=CALENDAR):
                self._worked_day(day)
            value = sum(heap.quantity * heap.cost for heaps in self.stock.values() for heap in heaps)
            self.books.capital += value * drawn.CAPITAL_PER_YEAR / 365
            self.books.tied_up += value
            self.books.days += 1
            day += timedelta(days=1)
        return self._closed()

    def _worked_day(self, day: date) -> None:
        self._moves(day)
        self._unload(day)
        self._throw_away(day)
        self._pour(day)
        for wanted in self.policy(self._view(day)):
            self._send(wanted, day=day)
        self._pay_trips()

    def _moves(self, day: date) -> None:
        for key, (pour, at, stood) in self.waiting.items():
            told = [new for on, new in pour.moves if on <= day]
            if told and not stood and at > day:
                self.waiting[key] = (pour, max(told[-1], drawn.worked_from(day + timedelta(days=1))), stood)

    def _unload(self, day: date) -> None:
        here = [load for load in self.road if load.arrives <= day]
        self.road = [load for load in self.road if load.arrives > day]
        for load in here:
            heap = Heap(load.quantity, load.cost, load.until)
            if load.quantity:
                self.stock[load.site, load.kind] = (*self.stock.get((load.site, load.kind), ()), heap)
            if load.late is not None and load.known.seller is not None:
                self.record[load.known.seller].append(load.late)
                self.books.paid += load.quantity * load.cost
                self.books.bought[load.kind] = self.books.bought.get(load.kind, 0) + load.quantity

    def _throw_away(self, day: date) -> None:
        for slot, heaps in self.stock.items():
            stale = [heap for heap in heaps if heap.until < day]
            self.books.stale += sum(heap.quantity * heap.cost for heap in stale)
            gone = self.books.gone_stale.get(slot[1], 0) + sum(heap.quantity for heap in stale)
            self.books.gone_stale[slot[1]] = gone
            self.stock[slot] = tuple(heap for heap in heaps if heap.until >= day)

    def _pour(self, day: date) -> None:
        for key, (pour, at, _stood) in sorted(self.waiting.items(), key=lambda item: (item[1][1], item[0])):
            if at > day:
                continue
            held = {kind: sum(h.quantity for h in self.stock.get((pour.site, kind), ())) for kind in KINDS}
            if all(held[kind] >= needed for kind, needed in pour.taken.items()):
                for kind, needed in pour.taken.items():
                    self._take(pour.site, kind, needed)
                    self.books.used[kind] = self.books.used.get(kind, 0) + needed
                del self.waiting[key]
                self.books.placed += 1
            else:
                self.books.stopped.add(key)
                self.books.stopped_days += 1
                self.waiting[key] = (pour, drawn.worked_from(day + timedelta(days=1)), True)

    def _take(self, site: str, kind: str, quantity: int) -> list[Heap]:
        """Take what spoils first; say what was taken."""
        left, taken = [], []
        for heap in sorted(self.stock.get((site, kind), ()), key=lambda heap: heap.until):
            used = min(quantity, heap.quantity)
            quantity -= used
            if used:
                taken.append(replace(heap, quantity=used))
            if used < heap.quantity:
                left.append(replace(heap, quantity=heap.quantity - used))
        assert quantity == 0, f"{site} has too little {kind}"
        self.stock[site, kind] = tuple(left)
        return taken

    def _view(self, day: date) -> View:
        pours = [
            Known(key, pour.site, at, pour.taken if stood else pour.billed, stood)
            for key, (pour, at, stood) in sorted(self.waiting.items())
        ]
        return View(
            day=day,
            world=self.world,
            stock={slot: heaps for slot, heaps in self.stock.items() if heaps},
            coming=tuple(load.known for load in self.road),
            pours=tuple(pours),
            record={code: tuple(rows) for code, rows in self.record.items()},
        )

    def _send(self, wanted: Wanted, *, day: date) -> None:
        kind = KINDS[wanted.kind]
        asked = wanted.packs * kind.content
        if wanted.seller is None:
            self._move(wanted, quantity=asked, day=day)
            return
        seller = SELLERS[wanted.seller]
        late, share = drawn.delivery(seller, site=wanted.site, day=day)
        promised = drawn.forward(day, working_days=seller.lead_days)
        arrives = drawn.forward(promised, working_days=late)
        packs = max(0, round(wanted.packs * share)) if share < 1 else wanted.packs
        cost = drawn.price(seller, wanted.kind, day=day) / kind.content
        life = timedelta(days=kind.life_days) if kind.life_days is not None else timedelta(days=3_650)
        known = Coming(wanted.site, wanted.kind, asked, promised, wanted.seller)
        got, until = packs * kind.content, arrives + life
        self.road.append(
            _Load(
                wanted.site,
                wanted.kind,
                got,
                cost,
                arrives,
                known,
                until,
                asked,
                (late, packs / wanted.packs),
            )
        )
        self._trips[wanted.site, wanted.seller] = (
            self._trips.get((wanted.site, wanted.seller), 0) + asked * kind.grams
        )

    def _move(self, wanted: Wanted, *, quantity: int, day: date) -> None:
        assert wanted.source is not None
        arrives = drawn.forward(day + timedelta(days=1), working_days=0)
        known = Coming(wanted.site, wanted.kind, quantity, arrives, None)
        for heap in self._take(wanted.source, wanted.kind, quantity):
            load = _Load(
                wanted.site, wanted.kind, heap.quantity, heap.cost, arrives,
                replace(known, quantity=heap.quantity), heap.until, heap.quantity, None,
            )  # fmt: skip
            self.road.append(load)
        van = (wanted.site, f"from {wanted.source}")
        self._trips[van] = self._trips.get(van, 0) + quantity * KINDS[wanted.kind].grams

    def _pay_trips(self) -> None:
        for (site, by), grams in self._trips.items():
            if by in SELLERS:
                seller = SELLERS[by]
                self.books.freight += seller.trip * -(-grams // (seller.truck_kg * 1_000))
            else:
                fare = drawn.freight(self.world, source=by.removeprefix("from "), target=site)
                self.books.freight += fare * -(-grams // (drawn.VAN_KG * 1_000))
        self._trips.clear()

    def _closed(self) -> Books:
        on_road = [(load.kind, load.quantity, load.cost) for load in self.road]
        for load in self.road:
            if load.late is not None:
                self.books.paid += load.quantity * load.cost
                self.books.bought[load.kind] = self.books.bought.get(load.kind, 0) + load.quantity
        lying = [(slot[1], h.quantity, h.cost) for slot, heaps in self.stock.items() for h in heaps]
        for kind, quantity, cost in on_road + lying:
            self.books.left += quantity * cost
            self.books.remains[kind] = self.books.remains.get(kind, 0) + quantity
        return self.books
