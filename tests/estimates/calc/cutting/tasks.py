"""Short ways to write cutting tasks, and published instances."""

import time

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


def solved(given, *, seconds=20, **more):
    """The plan of a task."""
    return planning.solve(given, clock=time.monotonic, seconds=seconds, **more)


# Paper mill, stock of 5,600 mm (encyclopedia example): 73 bars, 0.401 % loss; first fit by length 82.
PAPER_MILL = {1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20, 2000: 10, 2050: 12}
PAPER_MILL |= {2100: 14, 2140: 16, 2150: 18, 2200: 20}
