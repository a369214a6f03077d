"""Bars at a spacing, laid over the plan: some of each rule's bars as lines, with its mark in a circle.

Source: common practice of reinforcement drawings: a few bars of a group stand for all.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from estimates.calc import spacing
from estimates.calc.drawing.parts import Line, Place, Stroke
from estimates.calc.drawing.plan import Paper
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.spacing import Lines
from estimates.calc.steel import laid
from estimates.calc.steel import rules as steel_rules
from estimates.standards.load import Profile

_MOST_DRAWN = 12
"""Bars of one rule that are drawn; the others lie between them."""

_LINES: Final[Mapping[int, tuple[Lines, ...]]] = {1: ("all",), 2: ("other", "second")}
"""Which lines of a rule each of its marks has."""


@dataclass(frozen=True, kw_only=True)
class Group:
    """The bars of one mark: lines, and the place of the mark's circle."""

    mark: str
    layer: str
    lines: tuple[Line, ...]
    at: Place

    @property
    def path(self) -> str:
        """Writes all lines as the data of one SVG path."""
        return "".join(line.path for line in self.lines)

    @property
    def at_x(self) -> str:
        """Writes x of the mark for SVG."""
        return f"{self.at[0]:.1f}"

    @property
    def at_y(self) -> str:
        """Writes y of the mark for SVG."""
        return f"{self.at[1]:.1f}"


def groups(design: DesignSheet, *, paper: Paper, profile: Profile) -> tuple[Group, ...]:
    """Lays the bars of every spacing rule and picks those that are drawn.

    Source: `laid.lay`, as the take-off lays them.

    Args:
        design: the design sheet [mm].
        paper: how the slab lies on the paper.
        profile: the standards profile, for the counting rule.

    Returns:
        A group for each rule with at least one bar.
    """
    methods = steel_rules.choose(design.steel_methods, profile=profile)
    found = []
    number = 0
    for rule in design.spacing_rules:
        try:
            rows = laid.lay(rule, sheet=design, rules=methods)
        except ValueError:
            continue  # A half-typed rule leaves no room between its covers; the form says so.
        for mark, lines in zip(rule.marks, _LINES[len(rule.marks)], strict=True):
            bars = [bar for row in rows for bar in spacing.segments(row.laid, lines=lines)]
            if bars:
                found.append(_group(mark, bars=bars, layer=rule.layer, number=number, paper=paper))
            number += 1
    return tuple(found)


def _group(mark: str, *, bars: Sequence[tuple[Place, Place]], layer: str, number: int, paper: Paper) -> Group:
    step = math.ceil(len(bars) / _MOST_DRAWN)
    drawn = bars[step // 2 :: step] or bars[:1]
    lines = tuple(
        Line(stroke=Stroke.BAR, places=(paper.place(start), paper.place(end))) for start, end in drawn
    )
    # Marks of neighbouring rules stand apart along their bars.
    share = 0.25 + 0.13 * (number % 5)
    (x1, y1), (x2, y2) = lines[len(lines) // 2].places
    at = (x1 + (x2 - x1) * share, y1 + (y2 - y1) * share)
    return Group(mark=mark, layer=layer, lines=lines, at=at)
