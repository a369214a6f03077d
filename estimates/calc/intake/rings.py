"""Outlines that do not close: closed only in the way that a person says."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from estimates.calc.intake.found import Answers, Choice, Question
from estimates.calc.intake.plan import Ring

LEAVE_OUT: Final = "leave out"


def gap_question(ring: Ring, *, mm: float, words: str) -> Question:
    """Asks how an open outline is closed.

    Source: derived: nothing is closed by itself, however small the gap.

    Args:
        ring: the open outline.
        mm: millimetres in the drawing's unit.
        words: what the outline is of.

    Returns:
        The question, without a proposal.

    >>> corners = ((0, 0, 0), (9, 0, 0), (9, 9, 0), (3, 0, 0))
    >>> ring = Ring(id="r1", layer="E", corners=corners, closed=False, gap=3)
    >>> gap_question(ring, mm=1, words="the slab").text
    'the slab on layer E is open by 3 mm; how is it closed?'
    """
    first, last = _place(ring.corners[0], mm=mm), _place(ring.corners[-1], mm=mm)
    return Question(
        id=f"plan.gap.{ring.id}",
        about="plan",
        text=f"{words} on layer {ring.layer} is open by {ring.gap * mm:.4g} mm; how is it closed?",
        why=f"it begins at {first} and ends at {last}",
        choices=(
            Choice(value="first", words=f"its end belongs at its beginning, {first}"),
            Choice(value="last", words=f"its beginning belongs at its end, {last}"),
            Choice(value="line", words="a straight edge from its end to its beginning"),
            Choice(value=LEAVE_OUT, words="it is no outline; leave it out"),
        ),
    )


def closed(ring: Ring, *, answers: Answers) -> Ring | None:
    """Gives the outline closed as a person has said.

    Source: derived.

    Args:
        ring: an outline, open or closed.
        answers: the answers so far.

    Returns:
        The closed outline; None while it is open or when it is left out.

    >>> corners = ((0, 0, 0), (9, 0, 0), (9, 9, 0), (3, 0, 0))
    >>> ring = Ring(id="r1", layer="E", corners=corners, closed=False, gap=3)
    >>> closed(ring, answers={"plan.gap.r1": "first"}).corners
    ((0, 0, 0), (9, 0, 0), (9, 9, 0))
    """
    if ring.closed:
        return ring
    corners: Sequence[tuple[float, float, float]] = ring.corners
    said = answers.get(f"plan.gap.{ring.id}")
    if said == "first":
        corners = corners[:-1]
    elif said == "last":
        corners = corners[1:]
    elif said != "line":
        return None
    return replace(ring, corners=tuple(corners), closed=True, gap=0.0) if len(corners) > 2 else None


def _place(corner: tuple[float, float, float], *, mm: float) -> str:
    return f"{corner[0] * mm:g}, {corner[1] * mm:g}"
