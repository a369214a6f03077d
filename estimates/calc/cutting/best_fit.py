"""How many stock bars plain cutting takes: longest pieces first, each into the tightest rest."""

from collections import Counter
from collections.abc import Iterable
from typing import Final

_NOISE_MM: Final = 1e-6


def bars_needed(pieces: Iterable[tuple[float, int]], *, stock_mm: float) -> int:
    """Stock bars that plain cutting takes.

    Source: derived: best fit of decreasing lengths, as a careful fitter cuts; the best plan may take fewer,
    never more. A piece longer than a stock bar counts as whole bars and a rest, without the lap.

    Args:
        pieces: length [mm] and number of each kind.
        stock_mm: length of a stock bar [mm].

    Returns:
        The number of bars.

    Raises:
        ValueError: a stock bar without length.

    >>> bars_needed([(9150, 2), (2000, 3)], stock_mm=12000)
    3
    """
    if not stock_mm > 0:
        message = f"a stock bar of {stock_mm} mm must be longer than 0 mm"
        raise ValueError(message)
    rests: Counter[float] = Counter()
    bars = 0
    for length, count in sorted(_within_stock(pieces, stock_mm=stock_mm), reverse=True):
        left = count
        for room in sorted(rests):
            left = _fill(rests, room=room, bars=rests.pop(room), length=length, left=left)
        per_bar = int((stock_mm + _NOISE_MM) // length)
        opened = -(-left // per_bar)
        bars += opened
        _fill(rests, room=stock_mm, bars=opened, length=length, left=left)
    return bars


def _fill(rests: Counter[float], *, room: float, bars: int, length: float, left: int) -> int:
    """Cuts pieces out of bars with the same room, books their rests, and says how many pieces are left."""
    fits = int((room + _NOISE_MM) // length)
    full, part = divmod(min(left, bars * fits), fits) if fits else (0, 0)
    for rest, number in (
        (room - fits * length, full),
        (room - part * length, int(bool(part))),
        (room, bars - full - bool(part)),
    ):
        if number:
            rests[round(rest, 3)] += number
    return left - full * fits - part


def _within_stock(pieces: Iterable[tuple[float, int]], *, stock_mm: float) -> Iterable[tuple[float, int]]:
    for length, count in pieces:
        whole = int(length // stock_mm)
        rest = length - whole * stock_mm
        if whole:
            yield stock_mm, whole * count
        if rest > _NOISE_MM:
            yield rest, count
