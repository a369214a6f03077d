"""Drawings of figures, as plain coordinates for SVG: stock over days, and bars with the budget marked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

WIDTH = 360
HEIGHT = 132
LEFT = 6
RIGHT = 354
TOP = 22
BASE = 108


@dataclass(frozen=True)
class Mark:
    """A day on the line at which something happens, with its label's place."""

    x: float
    y: float
    label_x: float
    label_y: float
    anchor: str
    day: date
    entry: Any
    labelled: bool = True


@dataclass(frozen=True)
class StockLine:
    """The stock over the days of a plan: the line, what comes by the plan, what is needed."""

    path: str
    planned: tuple[Mark, ...]
    needed: tuple[Mark, ...]
    base: int = BASE
    width: int = WIDTH
    height: int = HEIGHT


def stock_line(days: Sequence[dict[str, Any]]) -> StockLine | None:
    """Draw the stock as steps, day by day, on a base of nothing; None without days."""
    if not days:
        return None
    first = date.fromisoformat(days[0]["day"])
    span = max((date.fromisoformat(days[-1]["day"]) - first).days, 1)
    peaks = [_peak(row) for row in days]
    top = max(*peaks, 1)

    def across(row: dict[str, Any]) -> float:
        passed = (date.fromisoformat(row["day"]) - first).days
        return round(LEFT + (RIGHT - LEFT) * passed / span, 1)

    def up(level: int) -> float:
        return round(BASE - (BASE - TOP) * level / top, 1)

    path = f"M{across(days[0])} {up(days[0]['opening'])}"
    for row, peak in zip(days, peaks, strict=True):
        path += f"{_until(row, across=across, up=up)}V{up(peak)}V{up(row['closing'])}"
    planned = tuple(
        _mark(across(row), up(peak), row=row, above=True)
        for row, peak in zip(days, peaks, strict=True)
        if row["planned"]
    )
    needed = tuple(
        _mark(across(row), up(row["closing"]), row=row, above=False) for row in days if row["gross"]
    )
    return StockLine(path=path, planned=_apart(planned, gap=90), needed=_apart(needed, gap=45))


def _until(
    row: dict[str, Any], *, across: Callable[[dict[str, Any]], float], up: Callable[[int], float]
) -> str:
    """Draw the time before a day: level, or sloping by what other works use until then."""
    used = row.get("background", 0)
    return f"L{across(row)} {up(max(0, row['opening'] - used))}" if used else f"H{across(row)}"


def _peak(row: dict[str, Any]) -> int:
    """Return the most that lies there on a day: after what comes, before what goes."""
    level: int = row["opening"] + row["received"] + row["planned"] - row["expired"]
    return level - row.get("background", 0)


def _mark(x: float, y: float, *, row: dict[str, Any], above: bool) -> Mark:
    anchor = "start" if x < WIDTH / 3 else "end" if x > 2 * WIDTH / 3 else "middle"
    aside = {"start": 6.0, "end": -6.0, "middle": 0.0}[anchor] if above else 0.0
    return Mark(
        x=x,
        y=y,
        label_x=round(x + aside, 1),
        label_y=round(y - 6, 1) if above else BASE + 16,
        anchor=anchor,
        day=date.fromisoformat(row["day"]),
        entry=row,
    )


def _apart(marks: Sequence[Mark], *, gap: int) -> tuple[Mark, ...]:
    """Leave out the labels that would lie on the one before; the table has their figures."""
    found: list[Mark] = []
    last = -float(gap)
    for mark in marks:
        labelled = mark.x - last >= gap
        last = mark.x if labelled else last
        found.append(replace(mark, labelled=labelled))
    return tuple(found)


@dataclass(frozen=True)
class Bar:
    """A bar of money: used, to come, and where the budget ends, in hundredths of the width."""

    used: float
    to_come: float
    budget: float | None


def bar(*, used: int, to_come: int, budget: int, longest: int) -> Bar:
    """Measure a bar against the longest of its kind, from a base of nothing."""
    scale = max(longest, 1)
    return Bar(
        used=round(100 * used / scale, 2),
        to_come=round(100 * to_come / scale, 2),
        budget=round(100 * budget / scale, 2) if budget else None,
    )
