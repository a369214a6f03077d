"""How many bars a spacing gives: published schedules disagree, so each rule has a name."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from estimates.calc import derivation
from estimates.calc.derivation import Input
from estimates.calc.sheet.steel import CountRule
from estimates.calc.sheet.types import CountMethod
from estimates.calc.steel.rules import Rules

# Noise of floating point, 0.000001 of a space, is taken out before a fraction is dropped or raised.
_FORMULAS: Final[Mapping[CountMethod, str]] = {
    "spacing_plus_one_dropped": "(floor(over / spacing + 0.000001) + 1)",
    "spacing_plus_one_raised": "(ceil(over / spacing - 0.000001) + 1)",
    "clear_spacing_plus_one_raised": "(ceil((over - 2 * end_cover) / spacing - 0.000001) + 1)",
    "spacing_raised": "ceil(over / spacing - 0.000001)",
}
_WORDS: Final[Mapping[CountMethod, str]] = {
    "spacing_plus_one_dropped": "length / spacing + 1, fraction dropped",
    "spacing_plus_one_raised": "length / spacing + 1, rounded up",
    "clear_spacing_plus_one_raised": "(length - 2 covers) / spacing + 1, rounded up",
    "spacing_raised": "length / spacing, rounded up",
}
COVER_METHODS: Final = frozenset({"clear_spacing_plus_one_raised"})


@dataclass(frozen=True, slots=True)
class Counted:
    """A number of bars; `formula` worked out from `inputs` gives it."""

    count: int
    formula: str
    inputs: Mapping[str, Input]
    method: str


def by_rule(rule: CountRule, *, rules: Rules, cover_mm: float, read_in: str) -> Counted:
    """Counts the bars that a spacing gives over a length.

    Source: the rule's own method, else the bar schedule's: published schedules, see `steel.method.count`.

    Args:
        rule: length [mm], spacing [mm], and where they differ from the schedule's, method and end cover [mm].
        rules: the named methods of the schedule.
        cover_mm: cover at each end unless the rule has its own [mm].
        read_in: where the rule was read, for the source of the inputs.

    Returns:
        The count with its formula, at least 1.

    Raises:
        ValueError: the covers leave no length.

    >>> from estimates.calc.sheet.steel import SteelMethods
    >>> from estimates.calc.steel import rules
    >>> from estimates.standards import load
    >>> chosen = rules.choose(SteelMethods(count="spacing_plus_one_dropped"), profile=load.profile("is"))
    >>> by_rule(CountRule(length_mm=7400, spacing_mm=200), rules=chosen, cover_mm=20, read_in="mark S2").count
    38
    """
    method = rule.method or rules.count
    inputs = {"over": Input(rule.length_mm, "mm", read_in), "spacing": Input(rule.spacing_mm, "mm", read_in)}
    if method in COVER_METHODS:
        end_cover = rule.end_cover_mm if rule.end_cover_mm is not None else cover_mm
        if rule.length_mm <= 2 * end_cover:
            message = (
                f"{read_in}: two end covers of {end_cover:g} mm leave nothing of "
                f"the length {rule.length_mm:g} mm; correct one of them"
            )
            raise ValueError(message)
        source = read_in if rule.end_cover_mm is not None else "cover of the design sheet"
        inputs["end_cover"] = Input(end_cover, "mm", source)
    formula = _FORMULAS[method]
    count = derivation.work_out(formula, inputs=inputs)
    return Counted(int(count), formula, inputs, _WORDS[method])
