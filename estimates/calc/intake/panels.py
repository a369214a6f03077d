"""Parts of another thickness or level: asked, with what the drawing writes in them as the proposal."""

import re
from collections.abc import Sequence
from typing import Any, Final

from estimates.calc.intake import layers
from estimates.calc.intake import plan as plans
from estimates.calc.intake.found import Answers, Choice, Question
from estimates.calc.intake.plan import Plan, Ring

LEAVE_OUT: Final = "leave out"
NO_SIDES: Final = "none"

_THICK: Final = re.compile(r"(\d{2,4})\s*(?:MM\s*)?(?:THK|THICK)", re.IGNORECASE)
_SUNK: Final = re.compile(r"\b(?:SUNK|SUNKEN|DROP|DROPPED|LOWERED)\s*(?:BY\s*)?(\d{2,4})", re.IGNORECASE)
_RAISED: Final = re.compile(r"\b(?:RAISED|UP)\s*(?:BY\s*)?(\d{2,4})", re.IGNORECASE)
_SAID: Final = re.compile(r"^(\d{2,4})(?:/(-?\d{1,4}))?$")


def read(plan: Plan, *, answers: Answers, mm: float) -> tuple[list[Question], list[dict[str, Any]]]:
    """Asks for the thickness and level of each part, and gives those that are answered.

    Source: derived: words as drawings write them, "150 THK", "SUNK 300 / 125 THK".

    Args:
        plan: the drawing.
        answers: the answers so far.
        mm: millimetres in the drawing's unit.

    Returns:
        The questions, and the panels of the design sheet [mm].
    """
    names = layers.with_role(plan, role="panels", answers=answers)
    questions: list[Question] = []
    found: list[dict[str, Any]] = []
    for number, ring in enumerate(plans.rings_on(plan, layers=names), start=1):
        corners = plans.straightened(ring.corners, mm=mm)
        words = _words_in(ring, plan=plan)
        asked = _question(ring, corners=corners, words=words)
        questions.append(asked)
        match = _SAID.match(answers.get(asked.id, "").replace(" ", ""))
        if match is None:
            continue
        level = int(match[2] or 0)
        name = words[:80] or f"panel {number}"
        panel: dict[str, Any] = {"name": name, "outline": [[_whole(x), _whole(y)] for x, y in corners]}
        panel |= {"thickness_mm": int(match[1]), "top_level_mm": level}
        if level:
            sides = _sides_question(ring, name=name)
            questions.append(sides)
            said = answers.get(sides.id, "")
            if said.isascii() and said.isdigit() and len(said) < 5:
                panel["sides_mm"] = int(said)
            elif said != NO_SIDES:
                continue
        found.append(panel)
    return questions, found


def proposed(words: str) -> str:
    """Reads thickness and level out of a panel's words.

    Source: derived: see `read`.

    Args:
        words: what is written in the panel.

    Returns:
        "thickness/level" as it is answered, empty when the words do not say the thickness.

    >>> proposed("SUNK 300 / 125 THK"), proposed("150 THK"), proposed("wet room")
    ('125/-300', '150', '')
    """
    thick = _THICK.search(words)
    if thick is None:
        return ""
    sunk, raised = _SUNK.search(words), _RAISED.search(words)
    level = f"/-{sunk[1]}" if sunk else f"/{raised[1]}" if raised else ""
    return f"{thick[1]}{level}"


def _words_in(ring: Ring, *, plan: Plan) -> str:
    xs, ys = [x for x, _y, _b in ring.corners], [y for _x, y, _b in ring.corners]
    inside = (
        words.text
        for words in plan.words
        if min(xs) <= words.at[0] <= max(xs) and min(ys) <= words.at[1] <= max(ys)
    )
    return next((text for text in inside if proposed(text)), "")


def _question(ring: Ring, *, corners: Sequence[tuple[float, float]], words: str) -> Question:
    xs, ys = [x for x, _y in corners], [y for _x, y in corners]
    suggested = proposed(words)
    choices = [Choice(value=suggested, words=_in_words(suggested))] if suggested else []
    return Question(
        id=f"plan.panel.{ring.id}",
        about="plan",
        text=f"How thick is the part from {min(xs):g}, {min(ys):g} to {max(xs):g}, {max(ys):g} mm?",
        why=(f"the drawing writes {words!r} in it; " if words else "the drawing writes nothing in it; ")
        + "write the thickness in mm, or thickness/level of its top as 125/-300",
        choices=(*choices, Choice(value=LEAVE_OUT, words="as the rest of the slab; leave it out")),
        typed=True,
        suggested=suggested,
    )


def _sides_question(ring: Ring, *, name: str) -> Question:
    return Question(
        id=f"plan.sides.{ring.id}",
        about="plan",
        text=f"How thick are the walls round {name}?",
        why="they join it to the slab and stand outside its line; in mm",
        choices=(Choice(value=NO_SIDES, words="it has no walls of its own"),),
        typed=True,
    )


def _in_words(said: str) -> str:
    thickness, _slash, level = said.partition("/")
    if not level:
        return f"{thickness} mm thick, its top level with the slab's"
    where = "below" if level.startswith("-") else "above"
    return f"{thickness} mm thick, its top {level.lstrip('-')} mm {where} the slab's"


def _whole(value: float) -> float:
    rounded = round(value, 3)
    return int(rounded) if float(rounded).is_integer() else rounded
