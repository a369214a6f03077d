"""Short ways to write cutting tasks; published instances and classes rebuilt from their description."""

import random
import time
from collections import Counter

from estimates.calc.cutting import planning
from estimates.calc.cutting.facts import Kind, Piece, Stock, Task


def task(lengths, *, stock=12_000, offcuts=(), keep_mm=1_000, **more):
    """A task of bars of one length that can be bought, and offcuts of the given lengths, one of each."""
    stocks = [Stock(label="bar", length_mm=stock)]
    stocks += [
        Stock(label=f"offcut {index}", length_mm=length, kind=Kind.OFFCUT, available=1)
        for index, length in enumerate(offcuts)
    ]
    pieces = [
        Piece(mark=f"P{length}", length_mm=length, count=count) for length, count in dict(lengths).items()
    ]
    return Task(stocks=tuple(stocks), pieces=tuple(pieces), keep_mm=keep_mm, **more)


def solved(given, *, seconds=60, **more):
    """The plan of a task."""
    return planning.solve(given, clock=time.monotonic, seconds=seconds, **more)


def read(text):
    """Lengths and counts written as 1380:22 1520:25."""
    return {int(length): int(count) for length, count in (part.split(":") for part in text.split())}


# Paper mill (encyclopedia example of the cutting-stock problem), stock of 5,600 mm: 73 bars, 0.401 % loss.
PAPER_MILL = read(
    "1380:22 1520:25 1560:12 1710:14 1820:18 1880:18 1930:20 2000:10 2050:12 2100:14 2140:16 2150:18 2200:20"
)


def slab_bars(seed, *, sizes=40, pieces=3_000, grid=1):
    """Bars of slabs for stock of 12 m: 30 % of 0.9 to 2 m, 40 % to 4.5 m, 22 % to 7.5 m, 8 % longer."""
    chance = random.Random(seed)  # noqa: S311 - a test repeats it
    found = set()
    while len(found) < sizes:
        draw = chance.random()
        low, high = next(
            (low, high)
            for limit, low, high in ((0.30, 0.9, 2.0), (0.70, 2.0, 4.5), (0.92, 4.5, 7.5), (1, 7.5, 11.8))
            if draw < limit
        )
        found.add(round(chance.uniform(low, high) * 1000 / grid) * grid)
    lengths = sorted(found, reverse=True)
    weights = [(chance.random() + 0.05) * (12_000 / length) ** 0.5 for length in lengths]
    counts = [max(1, round(pieces * weight / sum(weights))) for weight in weights]
    counts[counts.index(max(counts))] += pieces - sum(counts)
    return dict(zip(lengths, counts, strict=True))


def triplets(seed, *, number):
    """Falkenauer's class (1996): threes that fill a stock of 1,000 exactly, so that number / 3 is best."""
    chance = random.Random(seed)  # noqa: S311 - a test repeats it
    found = Counter()
    while sum(found.values()) < number:
        first = chance.randint(380, 490)
        second = chance.randint(250, (1000 - first) // 2)
        found.update([first, second, 1000 - first - second])
    return found


def uniform(seed, *, number):
    """Falkenauer's uniform class (1996): lengths from 20 to 100 for a stock of 150."""
    chance = random.Random(seed)  # noqa: S311 - a test repeats it
    return Counter(chance.randint(20, 100) for _ in range(number))


def narrow(seed, *, number=100):
    """Schwerin and Wäscher's class (1997): lengths from 150 to 200 for a stock of 1,000."""
    chance = random.Random(seed)  # noqa: S311 - a test repeats it
    return Counter(chance.randint(150, 200) for _ in range(number))


def offcut_job(seed, *, sizes=40, pieces=3_000):
    """Bars of slabs on a grid of 10 mm, with 15 lengths of offcuts in store, one to six of each."""
    chance = random.Random(seed)  # noqa: S311 - a test repeats it
    stocks = [Stock(label="bar", length_mm=12_000)]
    lengths = sorted(chance.sample(range(1_500, 9_000, 10), 15))
    stocks += [
        Stock(
            label=f"offcut of {length}",
            length_mm=length,
            kind=Kind.OFFCUT,
            available=chance.randint(1, 6),
        )
        for length in lengths
    ]
    wanted = slab_bars(seed, sizes=sizes, pieces=pieces, grid=10)
    rows = tuple(Piece(mark=f"P{length}", length_mm=length, count=count) for length, count in wanted.items())
    return Task(stocks=tuple(stocks), pieces=rows, keep_mm=2_000, credit_percent=80)
