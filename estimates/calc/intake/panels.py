"""Parts of another thickness or level: read with their words, and said when they are not taken over."""

from estimates.calc.intake import layers
from estimates.calc.intake import plan as plans
from estimates.calc.intake.found import Answers
from estimates.calc.intake.plan import Plan


def notes(plan: Plan, *, answers: Answers, mm: float) -> list[str]:
    """Says what is drawn on the layers of panels.

    Source: derived.

    Args:
        plan: the drawing.
        answers: the answers so far.
        mm: millimetres in the drawing's unit.

    Returns:
        One sentence for each panel.
    """
    names = layers.with_role(plan, role="panels", answers=answers)
    found = []
    for ring in plans.rings_on(plan, layers=names):
        places = plans.straightened(ring.corners, mm=mm)
        low = min(x for x, _y in places), min(y for _x, y in places)
        high = max(x for x, _y in places), max(y for _x, y in places)
        said = [
            words.text
            for words in plan.words
            if low[0] <= words.at[0] * mm <= high[0] and low[1] <= words.at[1] * mm <= high[1]
            and "thk" in words.text.lower()
        ]  # fmt: skip
        found.append(
            f"a part from {low[0]:g}, {low[1]:g} to {high[0]:g}, {high[1]:g} mm says "
            f"{', '.join(said) or 'nothing'}: "
            "enter its thickness and level in the form"
        )
    return found
