"""Cutting lengths: from a bar's shape and dimensions, by named rules, each with its source."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from estimates.calc import derivation
from estimates.calc.derivation import Input
from estimates.calc.sheet.steel import BarMark
from estimates.calc.sheet.types import Dimension, LengthRounding, Shape
from estimates.calc.steel.rules import Rules

NEEDED: Final[Mapping[Shape, frozenset[Dimension]]] = {
    "straight": frozenset({"A"}),
    "l": frozenset({"A", "B"}),
    "u": frozenset({"A", "B", "C"}),
    "stirrup": frozenset({"A", "B"}),
    "cranked": frozenset({"B", "D"}),
}
OPTIONAL: Final[Mapping[Shape, frozenset[Dimension]]] = {"cranked": frozenset({"A", "C"})}
USUAL_ANGLE_DEG: Final = 45
USUAL_CRANKS: Final = 2

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


@dataclass(frozen=True, slots=True)
class _Worked:
    """A shape's own rule: formula, coefficients by name, words and source."""

    formula: str
    coefficients: Mapping[str, Input]
    method: str
    source: str


def cutting_length(bar: BarMark, *, rules: Rules) -> CuttingLength:
    """Length of straight bar that one bent bar is cut from.

    Source: IS 2502:1963 table of shapes, or the named site rule: see `rules`.

    Args:
        bar: a row of the bar schedule; dimensions [mm], out to out unless the stirrup rule reads inside ones.
        rules: the named methods.

    Returns:
        The length [mm], positive for every bar that a design sheet accepts.

    Raises:
        ValueError: a dimension of the shape is missing.

    >>> from estimates.calc.sheet.steel import SteelMethods
    >>> from estimates.calc.steel import rules
    >>> from estimates.standards import load
    >>> chosen = rules.choose(SteelMethods(), profile=load.profile("is"))
    >>> sides = {"A": 180, "B": 400}
    >>> bar = BarMark(mark="ST1", member="B1", size_mm=8, shape="stirrup", dimensions=sides)
    >>> cutting_length(bar, rules=chosen).length_mm
    1288.0
    """
    missing = NEEDED[bar.shape] - set(bar.dimensions)
    if missing:
        message = f"bar {bar.mark}: shape {bar.shape} needs dimension {', '.join(sorted(missing))}"
        raise ValueError(message)
    worked = _SHAPES[bar.shape](bar, rules)
    row = f"bar schedule, mark {bar.mark}"
    letters = sorted(NEEDED[bar.shape] | (OPTIONAL.get(bar.shape, frozenset()) & set(bar.dimensions)))
    inputs: dict[str, Input] = {letter: Input(bar.dimensions[letter], "mm", row) for letter in letters}
    if worked.coefficients:
        inputs["d"] = Input(bar.size_mm, "mm", row)
    inputs |= worked.coefficients
    template, words = _ROUNDINGS[rules.length_rounding]
    formula = template.format(worked.formula)
    return CuttingLength(
        length_mm=derivation.evaluate(formula, values={name: item.value for name, item in inputs.items()}),
        formula=formula,
        inputs=inputs,
        method=worked.method + words,
        source=worked.source or row,
    )


def _straight(bar: BarMark, rules: Rules) -> _Worked:
    del bar, rules  # a straight bar takes no rule
    return _Worked("A", {}, "straight bar, overall length", "")


def _l(bar: BarMark, rules: Rules) -> _Worked:
    del bar
    method = f"L bar, outside dimensions; {rules.bend.words}"
    return _Worked(f"A + B - {rules.bend.formula}", rules.bend.inputs, method, rules.sources["bend"])


def _u(bar: BarMark, rules: Rules) -> _Worked:
    del bar
    method = f"U bar, outside dimensions; {rules.bend.words}"
    return _Worked(f"A + B + C - 2 * {rules.bend.formula}", rules.bend.inputs, method, rules.sources["bend"])


def _stirrup(bar: BarMark, rules: Rules) -> _Worked:
    del bar
    addition = rules.stirrup_addition
    read = "inside" if rules.stirrup == "inside_24d" else "outside"
    method = f"closed stirrup, {read} dimensions; 2 (A + B) + {addition.value:g}d"
    return _Worked("2 * (A + B) + closing * d", {"closing": addition}, method, rules.sources["stirrup"])


def _cranked(bar: BarMark, rules: Rules) -> _Worked:
    angle = bar.crank_angle_deg or USUAL_ANGLE_DEG
    number = 1 if rules.crank == "one_depth" else bar.cranks or USUAL_CRANKS
    crank = rules.cranks[angle]
    inputs = {"share": crank.share}
    extra, words = "share * D", f"cranked bar, {number} × {crank.share.value:.3g} D at {angle}°"
    if crank.deduction is not None:
        inputs["slant"] = crank.deduction
        extra, words = (
            f"({extra} - 2 * slant * d)",
            f"{words}, each less two bends of {crank.deduction.value:g}d",
        )
    formula, source = f"B + {number} * {extra}", rules.sources["crank"]
    legs = [letter for letter in ("A", "C") if letter in bar.dimensions]
    if legs:
        formula = f"{' + '.join(legs)} + {formula} - {len(legs)} * {rules.bend.formula}"
        inputs |= rules.bend.inputs
        words = f"{words}; legs outside dimensions; {rules.bend.words}"
        source = f"{source}; legs: {rules.sources['bend']}"
    return _Worked(formula, inputs, words, source)


_SHAPES: Final[Mapping[Shape, Callable[[BarMark, Rules], _Worked]]] = {
    "straight": _straight,
    "l": _l,
    "u": _u,
    "stirrup": _stirrup,
    "cranked": _cranked,
}
