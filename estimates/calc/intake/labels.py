"""Which label belongs to which beam's line: clear where only one is near, asked everywhere else."""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from estimates.calc.intake.found import Answers, Choice, Question
from estimates.calc.intake.plan import Plan, Segment, Words

LEAVE_OUT: Final = "leave out"

_LABEL: Final = re.compile(r"^(\S{1,40})\s+(\d{2,4})\s*[xX×*]\s*(\d{2,4})$")
_CLEAR: Final = 2.0
"""A label is clearly a line's when every other one is at least so many times as far."""
_CANDIDATES: Final = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A beam's name and section as a drawing writes them, "B1 230x450" [mm]."""

    name: str
    width_mm: int
    depth_mm: int


def label_of(text: str) -> Label | None:
    """Reads a beam's label.

    Source: derived: common practice of framing plans, width before overall depth, in mm.

    Args:
        text: the words.

    Returns:
        The label, or None when the words are none.

    >>> label_of("B2 230x500")
    Label(name='B2', width_mm=230, depth_mm=500)
    """
    match = _LABEL.match(" ".join(text.split()))
    return Label(name=match[1], width_mm=int(match[2]), depth_mm=int(match[3])) if match else None


def of_line(
    line: Segment, *, lines: Sequence[Segment], plan: Plan, answers: Answers
) -> tuple[str, Question | None]:
    """Gives the label of a beam's line, or asks for it.

    Source: derived: labels stand at the middle of their line by common practice.

    Args:
        line: the centre line.
        lines: all centre lines.
        plan: the drawing.
        answers: the answers so far.

    Returns:
        The words of the label, empty while it is not known, and the question where it is not clear.
    """
    found = [words for words in plan.words if label_of(words.text)]
    near = sorted(found, key=lambda words: math.dist(words.at, line.middle))
    if near and _is_clear(line, words=near, lines=lines):
        return near[0].text, None
    question = _question(line, near=near[:_CANDIDATES], plan=plan)
    return answers.get(question.id, ""), question


def _is_clear(line: Segment, *, words: Sequence[Words], lines: Sequence[Segment]) -> bool:
    own = math.dist(words[0].at, line.middle)
    if len(words) > 1 and math.dist(words[1].at, line.middle) < _CLEAR * own:
        return False
    others = (math.dist(words[0].at, other.middle) for other in lines if other.id != line.id)
    return all(other >= _CLEAR * own for other in others)


def _question(line: Segment, *, near: Sequence[Words], plan: Plan) -> Question:
    order = plan.order.get(line.id, -2)
    after = next((words.text for words in near if words.order == order + 1), "")
    (x, y), (end_x, end_y) = line.start, line.end
    place = f"from {x:g}, {y:g} to {end_x:g}, {end_y:g}"
    why = (
        f"{after!r} is drawn directly after it in the file"
        if after
        else "no label is clearly the nearest to it"
    )
    return Question(
        id=f"plan.beam.{line.id}",
        about="plan",
        text=f"Which beam is the line {place}?",
        why=why,
        choices=(
            *(Choice(value=text, words=text) for text in dict.fromkeys(words.text for words in near)),
            Choice(value=LEAVE_OUT, words="no beam; leave it out"),
        ),
        typed=True,
        suggested=after,
    )
