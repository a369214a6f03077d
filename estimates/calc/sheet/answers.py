"""What the engineer answered to a question of the bar schedule. Only an answer lets laps and trimmers in.

Lengths are in millimetres throughout. Unknown fields are refused everywhere.
"""

from typing import Annotated, Literal

from pydantic import Field
from pydantic.dataclasses import dataclass

from estimates.calc.sheet import types
from estimates.calc.sheet.strict import STRICT

MAX_ANSWERS = 200
_MAX_MARKS = 100

Question = Literal["lap", "coupler", "trimmers", "count", "members", "other"]


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Answer:
    """One answer: the question, the bar marks, what was decided, by whom and when."""

    question: Question
    """lap and coupler (bars longer than stock), trimmers (bars cut by an opening), count, members, other."""
    marks: Annotated[tuple[types.Name, ...], Field(max_length=_MAX_MARKS)] = ()
    """Bar marks that it speaks of; for trimmers the mark of the trimmers, none where none are needed."""
    decision: types.Decision
    """What the engineer decided, in words."""
    engineer: types.Title
    """Name of the engineer."""
    dated: types.Dated
    """Date of the answer, as 2026-05-11."""
    lap_mm: types.Length | None = None
    """Length of each lap [mm]."""
    joints: Annotated[int, Field(strict=True, ge=1, le=50)] | None = None
    """Laps or couplers in each long bar; left out: as few as the stock length allows."""
    share_percent: Annotated[float, Field(strict=True, allow_inf_nan=False, gt=0, le=100)] | None = None
    """Most of the bars joined at one section, the others staggered; left out: not staggered [%]."""
    opening: types.Title | None = None
    """Opening that the trimmers go round."""
    size_mm: types.BarSize | None = None
    """Nominal diameter of trimmers that the bar schedule does not hold [mm]."""
    length_mm: types.Length | None = None
    """Length of each of them, straight [mm]."""
    number: types.Count | None = None
    """How many of them there are in all."""
