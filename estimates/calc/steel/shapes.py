"""Cutting lengths: from a bar's shape and dimensions, by the catalogue's formula, each with its source."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from estimates.calc import derivation
from estimates.calc.derivation import Input
from estimates.calc.sheet.steel import BarMark
from estimates.calc.sheet.types import LengthRounding
from estimates.calc.steel.rules import Rules, Term
from estimates.standards.catalogues import Form, Shape

USUAL_ANGLE_DEG: Final = 45
USUAL_CRANKS: Final = 2
_PI: Final = Input(math.pi, "1", "circumference of a circle over its diameter")

# Noise of floating point, 0.000001 of a step, is taken out before a fraction is dropped or raised.
_ROUNDINGS: Final[Mapping[LengthRounding, tuple[str, str]]] = {
    "none": ("{}", ""),
    "mm_dropped": ("floor({} + 0.000001)", "; fraction of a millimetre dropped"),
    "nearest_5_mm": ("5 * floor(({}) / 5 + 0.500001)", "; to the nearest 5 mm"),
    "nearest_10_mm": ("10 * floor(({}) / 10 + 0.500001)", "; to the nearest 10 mm"),
    "up_25_mm": ("25 * ceil(({}) / 25 - 0.000001)", "; up to 25 mm"),
}


@dataclass(frozen=True, slots=True)
class CuttingLength:
    """Length of bar to cut [mm]; `formula` worked out from `inputs` gives it."""

    length_mm: float
    formula: str
    inputs: Mapping[str, Input]
    method: str
    source: str


def cutting_length(bar: BarMark, *, rules: Rules) -> CuttingLength:
    """Length of straight bar that one bent bar is cut from.

    Source: the shape's row in its catalogue (IS 2502, BS 8666, ACI 315), or the named site rule: see `rules`.

    Args:
        bar: a row of the bar schedule; dimensions [mm], out to out unless the stirrup rule reads inside ones.
        rules: the named methods.

    Returns:
        The length [mm], positive for every bar that a design sheet accepts.

    Raises:
        ValueError: no such shape in the schedule's catalogue, a dimension of the shape is missing, or the
            table of bends lacks the size.

    >>> from estimates.calc.sheet.steel import SteelMethods
    >>> from estimates.calc.steel import rules
    >>> from estimates.standards import load
    >>> chosen = rules.choose(SteelMethods(), profile=load.profile("is"))
    >>> sides = {"A": 180, "B": 400}
    >>> bar = BarMark(mark="ST1", member="B1", size_mm=8, shape="stirrup", dimensions=sides)
    >>> cutting_length(bar, rules=chosen).length_mm
    1288.0
    """
    shape = rules.shape(bar.shape)
    form = form_of(bar, shape=shape, rules=rules)
    row = f"bar schedule, mark {bar.mark}"
    template, words = _ROUNDINGS[rules.rounding_of(bar.shape)]
    terms = dict(_terms(bar, form=form, rules=rules))
    formula = template.format(_filled(form.length, terms=terms))
    sides = dimensions(bar)
    given = {
        letter: Input(sides[letter], shape.units.get(letter, "mm"), row) for letter in sorted(form.letters)
    }
    for term in terms.values():
        given |= term.inputs
    inputs = _inputs(formula, given=given, bar=bar, rules=rules)
    return CuttingLength(
        length_mm=derivation.work_out(formula, inputs=inputs),
        formula=formula,
        inputs=inputs,
        method=_method(shape, form=form, terms=terms, rules=rules) + words,
        source=_source(shape, form=form, rules=rules) or row,
    )


def form_of(bar: BarMark, *, shape: Shape, rules: Rules) -> Form:
    """The form of a shape's length for the dimensions that a bar has.

    Source: derived: the first form that has all its letters, no letter too many, and applies.

    Args:
        bar: the row of the bar schedule [mm].
        shape: its shape.
        rules: the named methods, for the measures of its bends.

    Returns:
        The form.

    Raises:
        ValueError: a dimension is missing, or is none of the shape's.

    >>> from estimates.calc.sheet.steel import SteelMethods
    >>> from estimates.calc.steel import rules
    >>> from estimates.standards import load
    >>> chosen = rules.choose(SteelMethods(catalogue="bs8666-2005"), profile=load.profile("is"))
    >>> row = {"mark": "18", "member": "links", "size_mm": 8, "shape": "51"}
    >>> bar = BarMark(**row, dimensions={"A": 340, "B": 140})
    >>> form_of(bar, shape=chosen.shape("51"), rules=chosen).words
    'end legs as short as allowed'
    """
    given = frozenset(dimensions(bar))
    for form in shape.forms:
        if (
            form.letters <= given
            and given - form.letters <= form.also
            and _applies(form, bar=bar, rules=rules)
        ):
            return form
    nearest = nearest_form(shape, given=given)
    missing, strange = nearest.letters - given, given - nearest.letters - nearest.also
    wrong = (
        f"needs dimension {', '.join(sorted(missing))}" if missing else f"has no {', '.join(sorted(strange))}"
    )
    message = f"bar {bar.mark}: shape {bar.shape} {wrong}"
    raise ValueError(message)


def dimensions(bar: BarMark) -> dict[str, float]:
    """The dimensions of a bar by letter.

    Source: the bar schedule.

    Args:
        bar: its row.

    Returns:
        The dimensions [mm], C of a helix in turns.
    """
    return {str(letter): length for letter, length in bar.dimensions.items()}


def nearest_form(shape: Shape, *, given: frozenset[str]) -> Form:
    """The form that the given letters are nearest to: what a fault names.

    Source: derived: the fewest letters missing or too many, the first of the catalogue before others.

    Args:
        shape: the shape.
        given: the letters that a bar has.

    Returns:
        The form.
    """
    return min(
        shape.forms,
        key=lambda form: len(form.letters - given) + len(given - form.letters - form.also),
    )


def value_of(expression: str, *, bar: BarMark, rules: Rules) -> float | None:
    """A least dimension or a slope of a shape worked out for one bar; None without what it needs.

    Source: derived: the catalogue's expression in the bar's letters, d, r and its table of bends.

    Args:
        expression: the catalogue's expression, as "max(P, C / 2 + 5 * d)".
        bar: the row of the bar schedule [mm].
        rules: the named methods.

    Returns:
        The value, in millimetres for a length.
    """
    values: dict[str, float] = {"d": rules.diameters[bar.size_mm].value}
    values |= dimensions(bar)
    for name in _names(expression) - set(values):
        row = rules.bend_row(name, size_mm=bar.size_mm, code=bar.shape)
        if row is None:
            return None
        values[name] = row.values[name]
    return derivation.evaluate(expression, values=values)


def _applies(form: Form, *, bar: BarMark, rules: Rules) -> bool:
    if not form.when:
        return True
    value = value_of(form.when, bar=bar, rules=rules)
    return value is not None and value > 0


def _terms(bar: BarMark, *, form: Form, rules: Rules) -> Iterator[tuple[str, Term]]:
    """The named methods that a form asks for, by their place in its formula."""
    if "{cranks}" in form.length:
        yield "{cranks}", _cranks(bar, rules=rules)
    named = {"{bend}": rules.bend, "{stirrup}": rules.stirrup_sum}
    named |= {"{hook}": rules.hook, "{end_bend}": rules.end_bend}
    for place, term in named.items():
        if place in form.length:
            yield place, term


def _filled(length: str, *, terms: Mapping[str, Term]) -> str:
    for place, term in terms.items():
        length = length.replace(place, term.formula)
    return length


def _cranks(bar: BarMark, *, rules: Rules) -> Term:
    angle = bar.crank_angle_deg or USUAL_ANGLE_DEG
    number = 1 if rules.crank == "one_depth" else bar.cranks or USUAL_CRANKS
    crank = rules.cranks[angle]
    inputs = {"share": crank.share}
    extra, words = "share * D", f"{number} × {crank.share.value:.3g} D at {angle}°"
    if crank.deduction is not None:
        inputs["slant"] = crank.deduction
        extra = f"({extra} - 2 * slant * d)"
        words = f"{words}, each less two bends of {crank.deduction.value:g}d"
    return Term(f"{number} * {extra}", inputs, words)


def _inputs(formula: str, *, given: Mapping[str, Input], bar: BarMark, rules: Rules) -> dict[str, Input]:
    """The inputs that a formula uses: the bar's dimensions, the coefficients, d, r and the like."""
    found = dict(given)
    for name in sorted(_names(formula) - set(found)):
        if name == "d":
            found[name] = _diameter(bar, rules=rules)
        elif name == "pi":
            found[name] = _PI
        else:
            found[name] = rules.measure(name, size_mm=bar.size_mm, code=bar.shape)
    return found


def _diameter(bar: BarMark, *, rules: Rules) -> Input:
    table = rules.diameters[bar.size_mm]
    if table.value == bar.size_mm:
        return Input(bar.size_mm, "mm", f"bar schedule, mark {bar.mark}")
    return table


def _method(shape: Shape, *, form: Form, terms: Mapping[str, Term], rules: Rules) -> str:
    if shape.code not in rules.words.shapes:
        special = f"; {form.words}" if form.words else ""
        return f"{rules.catalogue.title}, shape {shape.code}: {shape.title}{special}"
    parts = [shape.title if terms else f"{shape.title}, overall length"]
    if "{cranks}" in terms:
        parts = [f"{shape.title}, {terms['{cranks}'].words}"]
    if "{bend}" in terms:
        lead = "legs outside dimensions" if "{cranks}" in terms else f"{parts.pop()}, outside dimensions"
        parts += [lead, terms["{bend}"].words]
    if "{stirrup}" in terms:
        parts = [f"{shape.title}, {terms['{stirrup}'].words}"]
    parts += [terms[place].words for place in ("{hook}", "{end_bend}") if place in terms]
    return "; ".join(parts)


def _source(shape: Shape, *, form: Form, rules: Rules) -> str:
    if shape.code not in rules.words.shapes:
        return shape.citation
    kinds = (("{cranks}", "crank"), ("{stirrup}", "stirrup"), ("{hook}", "hook"), ("{end_bend}", "hook"))
    found = [rules.sources[kind] for place, kind in kinds if place in form.length]
    if "{bend}" in form.length:
        found.append(f"legs: {rules.sources['bend']}" if found else rules.sources["bend"])
    return "; ".join(found)


@lru_cache(maxsize=512)
def _names(formula: str) -> frozenset[str]:
    return derivation.names(formula)
