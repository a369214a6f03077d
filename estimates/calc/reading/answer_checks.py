"""Checks of a design sheet's answers: they speak of marks and openings that exist, and say what they must."""

from collections.abc import Iterator
from typing import Final

from estimates.calc.reading import bar_checks
from estimates.calc.sheet.answers import Answer
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.standards.values import Profile

_FIGURES: Final = ("lap_mm", "joints", "share_percent", "opening", "size_mm", "length_mm", "number")
_OWN: Final = {
    "lap": frozenset({"lap_mm", "joints", "share_percent"}),
    "coupler": frozenset({"joints", "share_percent"}),
    "trimmers": frozenset({"opening", "size_mm", "length_mm", "number"}),
}
_TRIMMER: Final = ("size_mm", "length_mm", "number")


def faults(draft: Draft, *, profile: Profile | None) -> Iterator[Fault]:
    """Finds what is impossible or contradictory in the answers of a sheet.

    Source: derived: the marks and openings of the sheet, and the profile's bar table.

    Args:
        draft: the parts of the sheet that could be read.
        profile: the standards profile, None when the sheet names none.

    Returns:
        The faults in the order of the sheet.

    >>> list(faults(Draft(), profile=None))
    []
    """
    known = draft.marks
    named: dict[str, str] = {}
    for index, answer in draft.answers.items():
        path = f"answers[{index}]"
        yield from _superfluous(answer, path=path)
        if answer.question == "trimmers":
            yield from _trimmers(answer, path=path, draft=draft, known=known)
            if answer.size_mm is not None:
                name = f"{path} trimmers"
                yield from bar_checks.unknown_size(answer.size_mm, name=name, path=path, profile=profile)
        else:
            yield from _marks(answer, path=path, known=known)
        yield from _lap(answer, path=path, profile=profile)
        yield from _twice(answer, path=path, named=named, known=known)


def _superfluous(answer: Answer, *, path: str) -> Iterator[Fault]:
    own = _OWN.get(answer.question, frozenset())
    for name in _FIGURES:
        if name not in own and getattr(answer, name) is not None:
            message = f"{path}: an answer about {answer.question} has no {name}; take it out"
            yield Fault(f"{path}.{name}", "field_superfluous", message)
    if answer.question == "lap" and answer.lap_mm is None:
        message = f"{path}: an answer about laps needs lap_mm, the length of each lap in mm; add it"
        yield Fault(f"{path}.lap_mm", "missing", message)


def _lap(answer: Answer, *, path: str, profile: Profile | None) -> Iterator[Fault]:
    if answer.lap_mm is None or profile is None:
        return
    stock = profile.number("steel.stock_length")
    if answer.lap_mm >= stock / 2:
        message = (
            f"{path}: lap_mm {show(answer.lap_mm)} mm must be less than {stock / 2:g} mm, half a stock bar; "
            "correct it, it is the length of one lap in mm"
        )
        yield Fault(f"{path}.lap_mm", "too_large", message)


def _marks(answer: Answer, *, path: str, known: set[str]) -> Iterator[Fault]:
    if not answer.marks:
        message = f"{path}: an answer about {answer.question} names no bar mark; add the marks"
        yield Fault(f"{path}.marks", "missing", message)
    for mark in answer.marks:
        if mark not in known:
            message = f"{path}: the sheet has no bar mark {show(mark)}; correct it or add the bars"
            yield Fault(f"{path}.marks", "unknown_mark", message)


def _trimmers(answer: Answer, *, path: str, draft: Draft, known: set[str]) -> Iterator[Fault]:
    """Trimmers are bars of the schedule, or new ones with size, length and number, or none at all."""
    if answer.opening is None:
        yield Fault(f"{path}.opening", "missing", f"{path}: which opening do the trimmers go round? Name it")
    elif answer.opening not in {opening.name for opening in draft.openings.values()}:
        message = f"{path}: the sheet has no opening {show(answer.opening)}; correct its name"
        yield Fault(f"{path}.opening", "unknown_opening", message)
    new = [mark for mark in answer.marks if mark not in known]
    given = [name for name in _TRIMMER if getattr(answer, name) is not None]
    if len(new) > 1 or (new and len(answer.marks) > 1):
        message = (
            f"{path}: {show(answer.marks[0])} and others are more than one new mark; write an answer for each"
        )
        yield Fault(f"{path}.marks", "unknown_mark", message)
    for name in _TRIMMER:
        if new and name not in given:
            message = f"{path}: the trimmers {show(new[0])} are not in the bar schedule; add their {name}"
            yield Fault(f"{path}.{name}", "missing", message)
        elif not new and name in given:
            words = f"mark {show(answer.marks[0])} stands in the bar schedule" if answer.marks else "no mark"
            message = f"{path}: {words}, so {name} is not needed; take it out or give the bars their own mark"
            yield Fault(f"{path}.{name}", "field_superfluous", message)


def _twice(answer: Answer, *, path: str, named: dict[str, str], known: set[str]) -> Iterator[Fault]:
    """A mark is joined in one way, and new trimmers have a mark of their own."""
    if answer.question in {"lap", "coupler"}:
        subjects = [f"joints of {mark}" for mark in answer.marks]
    elif answer.question == "trimmers":
        subjects = [f"trimmers {mark}" for mark in answer.marks if mark not in known]
    else:
        return
    for subject in subjects:
        first = named.setdefault(subject, path)
        if first != path:
            message = f"{path}: {subject} were answered at {first} already; keep one answer"
            yield Fault(f"{path}.marks", "duplicate_mark", message)
