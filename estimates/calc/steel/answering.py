"""The engineer's answers put to the marks that they speak of."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from estimates.calc.sheet.answers import Answer, Question
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.steel import BarMark
from estimates.calc.steel import findings, joins
from estimates.calc.steel.findings import Finding
from estimates.calc.steel.marks import Mark

_QUESTIONS: Final[Mapping[str, Question]] = {
    findings.COUNT_DIFFERS: "count",
    findings.MEMBERS_DIFFER: "members",
    findings.CUT_BY_OPENING: "trimmers",
}
_LONGEST_MEMBER: Final = 80


def trimmers(sheet: DesignSheet) -> Iterator[BarMark]:
    """Bars round openings that the engineer's answers add to the schedule.

    Source: the sheet's answers about trimmers that carry size, length and number.

    Args:
        sheet: the design sheet.

    Returns:
        A row for each, straight [mm].
    """
    for answer in sheet.answers:
        if answer.size_mm is not None and answer.length_mm is not None:
            yield BarMark(
                mark=answer.marks[0],
                member=f"trimmers of {answer.opening}"[:_LONGEST_MEMBER],
                size_mm=answer.size_mm,
                shape="straight",
                dimensions={"A": answer.length_mm},
                per_member=answer.number,
                remark=f"answer of {findings.who(answer)}: {answer.decision}",
            )


def settle(mark: Mark, *, answers: Sequence[Answer], stock_mm: float) -> Mark:
    """Puts the answers to a mark: its long bars joined, its questions answered.

    Source: the sheet's answers; a question without one stays open.

    Args:
        mark: the mark as schedule or spacing gives it [mm].
        answers: the sheet's answers.
        stock_mm: length of a stock bar [mm].

    Returns:
        The mark; the same one where no answer speaks of it.

    Raises:
        ValueError: laps as long as a stock bar.
    """
    for answer in answers:
        if answer.question in {"lap", "coupler"} and mark.mark in answer.marks:
            mark = joins.by_answer(mark, answer=answer, stock_mm=stock_mm)
    if answers and mark.findings:
        return replace(mark, findings=tuple(_answered(one, answers=answers) for one in mark.findings))
    return mark


def _answered(finding: Finding, *, answers: Sequence[Answer]) -> Finding:
    question = _QUESTIONS.get(finding.code)
    for answer in answers:
        if answer.question != question:
            continue
        if question == "trimmers":
            fits = answer.opening == finding.params["opening"]
        else:
            fits = finding.mark in answer.marks
        if fits:
            return findings.answered(finding, answer=answer)
    return finding
