"""A design sheet begun from files: what they give, what has to be asked, what cannot be used."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from estimates.calc.intake import bar_draft, plan_draft
from estimates.calc.intake.found import Answers, Choice, Fact, LineFault, Question
from estimates.calc.intake.plan import Plan
from estimates.calc.intake.schedule import Schedule
from estimates.calc.intake.spread import Measures
from estimates.standards.values import Profile

_NUMBERS: Final = frozenset({"cover_mm", "beam_cover_mm"})
_SAID: Final = ("drawing.number", "drawing.revision", "grade", "steel_grade", "cover_mm", "beam_cover_mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """A design sheet as far as files and answers give it.

    `sheet` holds fields as the design sheet has them; `lines` the line in the file of each of its bars. It
    is ready when no needed question is open.
    """

    sheet: Mapping[str, Any]
    lines: tuple[int, ...]
    left_out: tuple[int, ...]
    questions: tuple[Question, ...]
    open: tuple[Question, ...]
    plan_faults: tuple[LineFault, ...]
    bar_faults: tuple[LineFault, ...]
    said: tuple[Fact, ...]
    notes: tuple[str, ...]

    @property
    def ready(self) -> bool:
        """Whether every needed question is answered."""
        return not self.open


def begin(*, plan: Plan | None, schedule: Schedule | None, answers: Answers, profile: Profile) -> Begun:
    """Begins a design sheet from a drawing, a schedule or both.

    Source: derived: see `plan_draft` and `bar_draft`.

    Args:
        plan: the drawing, None without one.
        schedule: the bar schedule, None without one.
        answers: the answers so far.
        profile: the standards profile, for bar sizes and counting rules.

    Returns:
        What there is of the sheet; it is completed in the design form and checked when it is saved.
    """
    drawn = plan_draft.of_plan(plan, answers=answers) if plan else plan_draft.PlanDraft()
    titles = [*(schedule.titles if schedule else ()), *(plan.titles if plan else ())]
    said, asked = _said(titles, answers=answers)
    measures = Measures(
        lengths=bar_draft.lengths_of(drawn.sheet), cover_mm=said.get("cover_mm"), profile=profile
    )
    bars = (
        bar_draft.of_schedule(schedule, answers=answers, measures=measures)
        if schedule
        else bar_draft.BarDraft()
    )
    sheet: dict[str, Any] = {**_grouped(said), **drawn.sheet}
    if plan is not None and plan.thickness_mm is not None:
        sheet["thickness_mm"] = plan.thickness_mm
    if bars.bars:
        sheet["bars"] = bars.bars
        if bars.catalogue:
            sheet["steel_methods"] = {"catalogue": bars.catalogue}
    questions = (*asked, *drawn.questions, *bars.questions)
    return Begun(
        sheet=sheet,
        lines=tuple(bars.lines),
        left_out=tuple(sorted(bars.left_out)),
        questions=questions,
        open=tuple(
            question
            for question in questions
            if question.needed and not _is_answered(question, answers=answers)
        ),
        plan_faults=tuple(drawn.faults),
        bar_faults=tuple(bars.faults),
        said=tuple(titles),
        notes=tuple(drawn.notes),
    )


def _is_answered(question: Question, *, answers: Answers) -> bool:
    said = answers.get(question.id, "").strip()
    return bool(said) and (question.typed or said in {choice.value for choice in question.choices})


def _said(titles: Sequence[Fact], *, answers: Answers) -> tuple[dict[str, Any], list[Question]]:
    """What titles say of the design; where they disagree a person says what holds."""
    found: dict[str, Any] = {}
    asked = []
    for name in _SAID:
        values = list(dict.fromkeys(fact.value for fact in titles if fact.name == name))
        if len(values) > 1:
            question = _differ(name, titles=titles, values=values)
            asked.append(question)
            values = [value for value in values if value == answers.get(question.id)]
        if values:
            found[name] = int(values[0]) if name in _NUMBERS else values[0]
    return found, asked


def _differ(name: str, *, titles: Sequence[Fact], values: Sequence[str]) -> Question:
    words = {fact.value: fact.words for fact in titles if fact.name == name}
    return Question(
        id=f"title.{name}",
        about="plan",
        text=f"Drawing and schedule disagree on {name.replace('.', ' ').replace('_', ' ')}. Which holds?",
        why="they may be of different revisions; ask the engineer's office",
        choices=tuple(Choice(value=value, words=f"{value}: {words[value]}") for value in values),
    )


def _grouped(said: Mapping[str, Any]) -> dict[str, Any]:
    drawing = {
        name.removeprefix("drawing."): value for name, value in said.items() if name.startswith("drawing.")
    }
    rest = {name: value for name, value in said.items() if not name.startswith("drawing.")}
    return ({"drawing": drawing} if drawing else {}) | rest


def over(sheet: Mapping[str, Any], *, begun: Begun) -> Begun:
    """Puts what drawing and schedule give over a whole design sheet that came with them.

    Source: derived: the drawing and the schedule are nearer to the engineer than a sheet written from them.

    Args:
        sheet: the sheet as data.
        begun: what drawing and schedule begin.

    Returns:
        The same with the sheet's other fields.
    """
    return replace(begun, sheet={**sheet, **begun.sheet})
