"""What a bar's shape makes one ask: legs and radii against the catalogue's least. Nothing is changed."""

import math
from collections.abc import Iterator

from estimates.calc.sheet.steel import BarMark
from estimates.calc.steel import shapes
from estimates.calc.steel.findings import Finding
from estimates.calc.steel.rules import Rules
from estimates.standards.catalogues import Shape

_NOISE_MM = 1e-6
_STEEPEST = math.sin(math.radians(45))
_WHERE_IT_MATTERS = frozenset("HJK")  # ACI 315, notes of figure 10: shown only where they matter


def questions(bar: BarMark, *, rules: Rules) -> Iterator[Finding]:
    """What to ask the engineer or the bender about one bent bar.

    Source: the least dimensions of the shape's row in its catalogue and the table of bends of its size.

    Args:
        bar: the row of the bar schedule, as the design sheet's reader accepted it [mm].
        rules: the named methods.

    Returns:
        The findings; none for a plain word, which has no least dimensions.

    >>> from estimates.calc.sheet.steel import SteelMethods
    >>> from estimates.calc.steel import rules as steel_rules
    >>> from estimates.standards import load
    >>> chosen = steel_rules.choose(SteelMethods(catalogue="bs8666-2005"), profile=load.profile("is"))
    >>> row = {"mark": "06", "member": "Top", "size_mm": 10, "shape": "21"}
    >>> top = BarMark(**row, dimensions={"A": 110, "B": 2600, "C": 110})
    >>> [(found.code, found.params["letter"]) for found in questions(top, rules=chosen)]
    [('steel.leg_short', 'A'), ('steel.leg_short', 'C')]
    """
    shape = rules.shape(bar.shape)
    if bar.shape in rules.words.shapes:
        return
    yield from _short(bar, shape=shape, rules=rules)
    yield from _between(bar, shape=shape, rules=rules)
    yield from _unlike(bar, shape=shape)
    yield from _steep(bar, shape=shape, rules=rules)
    yield from _incomplete(bar, shape=shape)
    yield from _straight(bar, rules=rules)


def _short(bar: BarMark, *, shape: Shape, rules: Rules) -> Iterator[Finding]:
    given = shapes.dimensions(bar)
    for letter, expression in shape.least.items():
        least = shapes.value_of(expression, bar=bar, rules=rules)
        if letter in given and least is not None and given[letter] < least - _NOISE_MM:
            size = rules.designations[bar.size_mm]
            text = (
                f"{bar.mark}: dimension {letter} of shape {bar.shape} is {given[letter]:g} mm, its least for "
                f"a bar of {size} is {least:g} mm ({rules.catalogue.title}); ask the engineer"
            )
            params: dict[str, float | str] = {"letter": letter, "mm": given[letter], "least_mm": least}
            yield Finding("steel.leg_short", bar.mark, params, text)


def _between(bar: BarMark, *, shape: Shape, rules: Rules) -> Iterator[Finding]:
    """Sides between two right bends, which a bending machine needs long enough to grip."""
    least = rules.bend_row("between", size_mm=bar.size_mm, code=bar.shape)
    given = shapes.dimensions(bar)
    if least is None or not shape.right_angled:
        return
    sides = {leg.letter for leg in shape.legs[1:-1]} - set(shape.least)
    for letter in sorted(sides & set(given)):
        bound = least.values["between"]
        if given[letter] < bound:
            text = (
                f"{bar.mark}: side {letter} of shape {bar.shape} is {given[letter]:g} mm between two bends; "
                f"yards ask for {bound:g} mm with a bar of {rules.designations[bar.size_mm]}; ask the bender"
            )
            params: dict[str, float | str] = {"letter": letter, "mm": given[letter], "least_mm": bound}
            yield Finding("steel.side_short", bar.mark, params, text)


def _unlike(bar: BarMark, *, shape: Shape) -> Iterator[Finding]:
    given = shapes.dimensions(bar)
    lengths = [given[letter] for letter in shape.same if letter in given]
    if len(set(lengths)) > 1:
        text = (
            f"{bar.mark}: {' and '.join(shape.same)} of shape {bar.shape} are equal by its figure, the "
            f"schedule has {' and '.join(f'{length:g}' for length in lengths)} mm; ask which holds"
        )
        yield Finding("steel.ends_differ", bar.mark, {"letters": shape.same}, text)


def _steep(bar: BarMark, *, shape: Shape, rules: Rules) -> Iterator[Finding]:
    if not shape.steep:
        return
    slope = shapes.value_of(shape.steep, bar=bar, rules=rules)
    if slope is not None and slope > _STEEPEST + _NOISE_MM:
        degrees = math.degrees(math.asin(min(1.0, slope)))
        text = (
            f"{bar.mark}: shape {bar.shape} bends by {degrees:.0f}°; its length is approximate, and above "
            "45° it is to be worked out; ask for the length"
        )
        yield Finding("steel.length_approximate", bar.mark, {"degrees": degrees}, text)


def _incomplete(bar: BarMark, *, shape: Shape) -> Iterator[Finding]:
    given = set(shapes.dimensions(bar))
    form = shapes.nearest_form(shape, given=frozenset(given))
    drawn = form.also - set(shape.same) - _WHERE_IT_MATTERS
    if drawn and not drawn & given:
        letters = ", ".join(sorted(drawn))
        text = (
            f"{bar.mark}: the figure of shape {bar.shape} also has {letters}; the schedule leaves it open, "
            "and the bar cannot be bent without it"
        )
        yield Finding("steel.figure_incomplete", bar.mark, {"letters": letters}, text)


def _straight(bar: BarMark, *, rules: Rules) -> Iterator[Finding]:
    radius = shapes.dimensions(bar).get("R")
    row = rules.bend_row("straight_above", size_mm=bar.size_mm, code=bar.shape)
    if radius is not None and row is not None and radius > row.values["straight_above"]:
        bound = row.values["straight_above"]
        size = rules.designations[bar.size_mm]
        text = (
            f"{bar.mark}: a radius of {radius:g} mm is above {bound:g} mm, from which bars of {size} "
            "come straight and take the curve when fixed"
        )
        yield Finding("steel.comes_straight", bar.mark, {"mm": radius, "limit_mm": bound}, text)
