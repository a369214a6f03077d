"""Counts that a schedule leaves empty: asked, with what each counting rule gives beside it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, get_args

from estimates.calc.intake.found import Answers, Choice, Question
from estimates.calc.intake.schedule import BarRow
from estimates.calc.sheet import types
from estimates.calc.sheet.steel import CountRule, SteelMethods
from estimates.calc.steel import counts
from estimates.calc.steel import rules as steel_rules
from estimates.standards.values import Profile

_RULE: Final = "rule "


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """What counts are worked out from: lengths of the drawing by name [mm], cover [mm], the profile."""

    lengths: Mapping[str, float]
    cover_mm: float | None
    profile: Profile


def ask(
    row: BarRow, *, spacing_mm: float | None, over_mm: float | None, answers: Answers, measures: Measures
) -> tuple[dict[str, Any], list[Question]]:
    """Gives what the sheet says of a row's count, with what has to be asked for it.

    Source: the named counting rules; see `counts.by_rule`.

    Args:
        row: the row.
        spacing_mm: its spacing, None without one [mm].
        over_mm: the length that its remark names, None without one [mm].
        answers: the answers so far.
        measures: what counts are worked out from.

    Returns:
        Fields of the sheet's row, empty while the count is open, and the questions.
    """
    if row.per_member is not None and spacing_mm is None:
        return {"per_member": row.per_member}, []
    if spacing_mm is None:
        return _typed_only(row, answers=answers)
    spread, question = _spread(
        row, spacing_mm=spacing_mm, over_mm=over_mm, answers=answers, measures=measures
    )
    questions = [question]
    if row.per_member is not None:
        rule = {} if spread is None else {"count_rule": {"length_mm": spread, "spacing_mm": spacing_mm}}
        return {"per_member": row.per_member, **rule}, questions
    fields, asked = _count(row, spread=spread, spacing_mm=spacing_mm, answers=answers, measures=measures)
    return fields, [*questions, asked]


def by_methods(spread: float, *, spacing_mm: float, measures: Measures) -> dict[str, counts.Counted]:
    """Counts by each named rule.

    Source: the named counting rules; see `counts.by_rule`.

    Args:
        spread: length over which the bars are spread [mm].
        spacing_mm: centre to centre [mm].
        measures: cover and profile.

    Returns:
        The counts by the rules' names; a rule that takes off covers only where the cover is known.
    """
    found = {}
    for method in get_args(types.CountMethod):
        if method in counts.COVER_METHODS and (measures.cover_mm is None or spread <= 2 * measures.cover_mm):
            continue
        rules = steel_rules.choose(SteelMethods(count=method), profile=measures.profile)
        rule = CountRule(length_mm=spread, spacing_mm=spacing_mm)
        found[str(method)] = counts.by_rule(
            rule, rules=rules, cover_mm=measures.cover_mm or 0, read_in="schedule"
        )
    return found


def _spread(
    row: BarRow, *, spacing_mm: float, over_mm: float | None, answers: Answers, measures: Measures
) -> tuple[float | None, Question]:
    """The length over which a row's bars are spread: proposed where it gives the schedule's own count."""
    fits = {
        name: length
        for name, length in measures.lengths.items()
        if row.per_member
        in {c.count for c in by_methods(length, spacing_mm=spacing_mm, measures=measures).values()}
    }
    lengths = dict.fromkeys([*([over_mm] if over_mm else []), *fits.values(), *measures.lengths.values()])
    named = {length: name for name, length in reversed(list(measures.lengths.items()))}
    question = Question(
        id=f"bars.spread.{row.line}",
        about="bars",
        text=f"Over which length are the bars of mark {row.mark} spread at {spacing_mm:g} mm?",
        why=_why(row, over_mm=over_mm, fits=fits),
        choices=tuple(
            Choice(value=f"{length:g}", words=f"{length:g} mm{_named(named.get(length), length, over_mm)}")
            for length in list(lengths)[:8]
        ),
        typed=True,
        unit="mm",
        suggested=f"{over_mm:g}" if over_mm else f"{next(iter(fits.values())):g}" if fits else "",
        needed=row.per_member is None,
    )
    return _length(answers.get(question.id, "")), question


def _count(
    row: BarRow, *, spread: float | None, spacing_mm: float, answers: Answers, measures: Measures
) -> tuple[dict[str, Any], Question]:
    id_ = f"bars.count.{row.line}"
    found = {} if spread is None else by_methods(spread, spacing_mm=spacing_mm, measures=measures)
    question = Question(
        id=id_,
        about="bars",
        text=f"How many bars of mark {row.mark} are in one member?",
        why=f"line {row.line}: the number is empty"
        + ("" if spread is None else f"; {spread:g} mm at {spacing_mm:g} mm gives by the named rules"),
        choices=tuple(
            Choice(value=_RULE + method, words=f"{counted.count} by {counted.method}")
            for method, counted in found.items()
        ),
        typed=True,
    )
    said = answers.get(id_, "")
    method = said.removeprefix(_RULE)
    if spread is not None and said.startswith(_RULE) and method in found:
        return {"count_rule": {"length_mm": spread, "spacing_mm": spacing_mm, "method": method}}, question
    number = _whole(said)
    rule = {} if spread is None else {"count_rule": {"length_mm": spread, "spacing_mm": spacing_mm}}
    return ({} if number is None else {"per_member": number, **rule}), question


def _typed_only(row: BarRow, *, answers: Answers) -> tuple[dict[str, Any], list[Question]]:
    members = row.members or 1
    whole = row.total is not None and row.total % members == 0
    suggested = str(row.total // members) if row.total is not None and whole else ""
    question = Question(
        id=f"bars.count.{row.line}",
        about="bars",
        text=f"How many bars of mark {row.mark} are in one member?",
        why=f"line {row.line}: the number is empty and no spacing is given"
        + (f"; the total of {row.total} in {members} members would be {suggested} each" if suggested else ""),
        typed=True,
        suggested=suggested,
    )
    number = _whole(answers.get(question.id, ""))
    return ({} if number is None else {"per_member": number}), [question]


def _why(row: BarRow, *, over_mm: float | None, fits: Mapping[str, float]) -> str:
    if over_mm:
        return f"line {row.line}: its remark says {row.remark!r}"
    if row.per_member is not None and fits:
        name, length = next(iter(fits.items()))
        return f"line {row.line}: {name}, {length:g} mm, gives the schedule's own {row.per_member} bars"
    if row.per_member is not None:
        return f"line {row.line}: the rule's own count then stands beside the schedule's {row.per_member}"
    return f"line {row.line}: the schedule does not say it"


def _named(name: str | None, length: float, over_mm: float | None) -> str:
    if length == over_mm:
        return ", as the remark says"
    return f", {name}" if name else ""


def _length(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if 1 <= value <= types.MAX_COORDINATE_MM else None


def _whole(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and 1 <= len(text) <= 5 and int(text) > 0 else None
