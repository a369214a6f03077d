"""A year of building sites, drawn from seeds: what is needed when, who brings it how late and how short.

Nothing here knows how anybody plans. Prices, leads and rates are of the usual order in the trade and invented
in the particular. Quantities are whole kilograms, of bars whole bars; money is in whole units of a currency.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

from inventory.calc.reorder import workdays
from inventory.calc.reorder.workdays import Calendar

SEED = 20260504
FIRST_DAY = date(2026, 1, 5)
SUNDAY = 6
HOLIDAYS = tuple(
    date(2026, month, day)
    for month, day in ((1, 26), (3, 4), (3, 26), (5, 1), (8, 15), (10, 2), (10, 20), (11, 9), (12, 25))
)
CALENDAR = Calendar(days_off=frozenset({SUNDAY}), holidays=frozenset(HOLIDAYS))
CEMENT_DAYS = 80
"""Ninety days of life less ten that cement has spent on its way to the site."""
CAPITAL_PER_YEAR = 0.14
STOP_COST = 30_000
"""A day's crew and machines that stand, and the joint that has to be made good."""
LEFT_OVER_SHARE = 0.6
"""Of its price, what is left at the end still brings."""
MEAN_LOSS = 0.03
KNOWN_DAYS = 40
"""Calendar days before the first pour of a slab on which its bill and programme are known."""


@dataclass(frozen=True)
class Kind:
    """A material: units in a pack, grams in a unit, days of life, units in a m³, spread of use."""

    code: str
    content: int
    grams: int
    life_days: int | None
    per_m3: float
    spread: float


CEMENT = Kind("cement", 50, 1_000, CEMENT_DAYS, 340.0, 0.04)
SAND = Kind("sand", 500, 1_000, None, 700.0, 0.06)
GRAVEL = Kind("gravel", 500, 1_000, None, 1_150.0, 0.05)
BAR_10 = Kind("bar 10", 1, 7_400, None, 5.0, 0.012)
BAR_12 = Kind("bar 12", 1, 10_660, None, 3.2, 0.012)
KINDS = {kind.code: kind for kind in (CEMENT, SAND, GRAVEL, BAR_10, BAR_12)}


@dataclass(frozen=True)
class Seller:
    """Who sells: pack prices on site without the trip, the trip, and how loads really come."""

    code: str
    prices: dict[str, int]
    lead_days: int
    truck_kg: int
    trip: int
    late: tuple[tuple[int, float], ...]
    short: float


SELLERS = {
    seller.code: seller
    for seller in (
        Seller("corner store", {"cement": 412, "bar 10": 478, "bar 12": 689}, 1, 3_000, 900,
               ((0, 0.86), (1, 0.11), (2, 0.03)), 0.03),
        Seller("cement depot", {"cement": 379}, 4, 16_000, 3_800,
               ((0, 0.60), (1, 0.20), (2, 0.10), (3, 0.06), (5, 0.04)), 0.08),
        Seller("quarry", {"sand": 700, "gravel": 610}, 2, 10_000, 2_800,
               ((0, 0.65), (1, 0.20), (2, 0.10), (4, 0.05)), 0.15),
        Seller("steel yard", {"bar 10": 441, "bar 12": 637}, 5, 12_000, 4_600,
               ((0, 0.55), (1, 0.20), (2, 0.12), (4, 0.08), (7, 0.05)), 0.04),
    )
}  # fmt: skip
PAST_DELIVERIES = {"corner store": 9, "cement depot": 14, "quarry": 22, "steel yard": 4}


@dataclass(frozen=True)
class Pour:
    """A pour: what its bill says (mean loss included), what it will really take, and when it is moved."""

    key: str
    site: str
    slab: str
    known: date
    day: date
    billed: dict[str, int]
    taken: dict[str, int]
    moves: tuple[tuple[date, date], ...]


@dataclass(frozen=True)
class World:
    """Sites with their places in kilometres, all pours, and the last day."""

    sites: dict[str, tuple[float, float]]
    pours: tuple[Pour, ...]
    last_day: date


def world(*, sites: int, days: int, seed: int = SEED) -> World:
    """Draw a world; the same figures draw the same one on every machine."""
    places: dict[str, tuple[float, float]] = {}
    pours: list[Pour] = []
    last_day = FIRST_DAY + timedelta(days=days)
    for number in range(sites):
        draw = _drawn(f"{seed}:site:{number}")
        site = f"site {number:02}"
        places[site] = (draw.uniform(0, 30), draw.uniform(0, 30))
        day = FIRST_DAY + timedelta(days=draw.randint(15, 70))
        for slab in range(draw.randint(3, 5)):
            found = _slab(draw, site=site, slab=f"{site} slab {slab}", first=day)
            pours += [pour for pour in found if _last(pour) < last_day - timedelta(days=14)]
            day = max(pour.day for pour in found) + timedelta(days=draw.randint(24, 60))
    return World(sites=places, pours=tuple(pours), last_day=last_day)


def price(seller: Seller, kind: str, *, day: date, seed: int = SEED) -> int:
    """The price of a pack on a day: it walks by up to three in a hundred a month, known when it holds."""
    months = (day.year - FIRST_DAY.year) * 12 + day.month - FIRST_DAY.month
    draw = _drawn(f"{seed}:price:{seller.code}:{kind}")
    factor = 1.0
    for _month in range(months):
        factor *= 1 + draw.uniform(-0.02, 0.03)
    return round(seller.prices[kind] * factor)


def delivery(seller: Seller, *, site: str, day: date, seed: int = SEED) -> tuple[int, float]:
    """How an order of that day comes: working days late, and the share of the load that comes."""
    return _delivery(seller, draw=_drawn(f"{seed}:load:{seller.code}:{site}:{day.isoformat()}"))


def record(seller: Seller, *, seed: int = SEED) -> list[tuple[int, float]]:
    """What the firm remembers of a seller from the years before: days late and share, per delivery."""
    draw = _drawn(f"{seed}:past:{seller.code}")
    return [_delivery(seller, draw=draw) for _ in range(PAST_DELIVERIES[seller.code])]


def freight(world: World, *, source: str, target: str) -> int:
    """What a van between two sites costs, up to three tonnes."""
    (x, y), (u, v) = world.sites[source], world.sites[target]
    return 500 + round(40 * ((x - u) ** 2 + (y - v) ** 2) ** 0.5)


VAN_KG = 3_000


def worked_from(day: date) -> date:
    """The day itself, or the next that is worked."""
    while not workdays.is_worked(day, calendar=CALENDAR):
        day += timedelta(days=1)
    return day


def forward(day: date, *, working_days: int) -> date:
    """Count working days on from a day."""
    day = worked_from(day)
    for _ in range(working_days):
        day = worked_from(day + timedelta(days=1))
    return day


def _drawn(name: str) -> Random:
    return Random(name)  # noqa: S311 - repeatable by its seed, nothing secret


def _slab(draw: Random, *, site: str, slab: str, first: date) -> list[Pour]:
    dates = [worked_from(first)]
    for _ in range(draw.randint(1, 4)):
        dates.append(worked_from(dates[-1] + timedelta(days=draw.randint(5, 14))))
    known = max(FIRST_DAY, dates[0] - timedelta(days=KNOWN_DAYS))
    moves = _moves(draw, dates=dates, known=known)
    pours = []
    for number, day in enumerate(dates):
        cubic_metres = draw.uniform(9, 26)
        billed, taken = {}, {}
        for kind in KINDS.values():
            mean = cubic_metres * kind.per_m3 * (1 + MEAN_LOSS)
            billed[kind.code] = round(mean)
            taken[kind.code] = round(mean * draw.lognormvariate(0, kind.spread))
        key = f"{slab} pour {number}"
        pours.append(Pour(key, site, slab, known, day, billed, taken, tuple(moves[number])))
    return pours


def _moves(draw: Random, *, dates: list[date], known: date) -> list[list[tuple[date, date]]]:
    """Move about a third of the pours, and what follows them, some days before their time."""
    now = list(dates)
    moves: list[list[tuple[date, date]]] = [[] for _ in dates]
    for number in range(len(now)):
        if draw.random() >= 0.35:
            continue
        told = max(known, now[number] - timedelta(days=draw.randint(2, 18)))
        least = worked_from(max(told, now[number - 1] if number else told) + timedelta(days=3))
        target = max(least, worked_from(now[number] + timedelta(days=draw.randint(-3, 10))))
        shift = target - now[number]
        for later in range(number, len(now)):
            now[later] = worked_from(now[later] + shift)
            moves[later].append((told, now[later]))
    return moves


def _last(pour: Pour) -> date:
    return max([pour.day, *(day for _told, day in pour.moves)])


def _delivery(seller: Seller, *, draw: Random) -> tuple[int, float]:
    days, weights = zip(*seller.late, strict=True)
    late = draw.choices(days, weights=weights)[0]
    share = draw.uniform(0.8, 0.98) if draw.random() < seller.short else 1.0
    return late, share
