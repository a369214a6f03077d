"""From a drawing and a person's answers to the outline, openings and beams of a design sheet."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from estimates.calc.intake import labels, layers, panels, rings
from estimates.calc.intake import plan as plans
from estimates.calc.intake.cells import MM
from estimates.calc.intake.found import Answers, Choice, LineFault, Question
from estimates.calc.intake.plan import Plan, Ring, Segment

_SMALLEST_MM: Final = 500.0
_LARGEST_MM: Final = 200_000.0
_UNIT: Final = "plan.unit"
_OUTLINE: Final = "plan.outline"


@dataclass(slots=True, kw_only=True)
class PlanDraft:
    """What of a design sheet a drawing gives so far, with what is asked, at fault, and worth saying."""

    sheet: dict[str, Any] = field(default_factory=dict)
    questions: list[Question] = field(default_factory=list)
    faults: list[LineFault] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def blame(self, code: str, message: str) -> None:
        """Adds a fault of the whole drawing."""
        self.faults.append(LineFault(code=code, message=message))


def of_plan(plan: Plan, *, answers: Answers) -> PlanDraft:
    """Makes what can be made of a drawing with the answers so far; nothing is guessed.

    Source: derived: each part follows from the drawing and from answers that a person has given.

    Args:
        plan: the drawing.
        answers: the answers so far.

    Returns:
        The draft; its parts are there as far as their questions are answered.
    """
    draft = PlanDraft()
    unit = _unit(plan, answers=answers, draft=draft)
    draft.questions += layers.questions(plan)
    if not unit or layers.open_ones(plan, answers=answers):
        return draft
    mm = MM[unit]
    outline = _outline(plan, answers=answers, draft=draft, mm=mm)
    if outline is not None:
        draft.sheet["outline"] = _corners(outline, mm=mm, words="the outline", draft=draft)
    openings = list(_openings(plan, answers=answers, draft=draft, mm=mm, taken=outline))
    beams = list(_beams(plan, answers=answers, draft=draft, mm=mm))
    draft.sheet |= {name: rows for name, rows in (("openings", openings), ("beams", beams)) if rows}
    asked, found = panels.read(plan, answers=answers, mm=mm)
    draft.questions += asked
    if found:
        draft.sheet["panels"] = found
    return draft


def _unit(plan: Plan, *, answers: Answers, draft: PlanDraft) -> str:
    low_x, low_y, high_x, high_y = plan.extent
    size = max(high_x - low_x, high_y - low_y)
    if plan.unit and _SMALLEST_MM <= size * MM[plan.unit] <= _LARGEST_MM:
        return plan.unit
    said = f"the file says {plan.unit}" if plan.unit else "the file does not say its unit"
    draft.questions.append(
        Question(
            id=_UNIT,
            about="plan",
            text="In which unit is the drawing?",
            why=f"{said}; what is drawn measures {size:.6g} over all",
            choices=tuple(
                Choice(value=unit, words=f"{unit}: {size * mm / 1000:.4g} m over all")
                for unit, mm in MM.items()
            ),
        )
    )
    return answers.get(_UNIT, "") if answers.get(_UNIT) in MM else ""


def _outline(plan: Plan, *, answers: Answers, draft: PlanDraft, mm: float) -> Ring | None:
    names = layers.with_role(plan, role="outline", answers=answers)
    found = plans.rings_on(plan, layers=names)
    if not found:
        where = f"on layer {', '.join(names)}" if names else "on any layer"
        draft.blame("no_outline", f"no outline of the slab is drawn {where}; say which layer has it")
        return None
    chosen = found[0] if len(found) == 1 else _chosen(found, answers=answers, draft=draft, mm=mm)
    return (
        None
        if chosen is None
        else _shut(chosen, answers=answers, draft=draft, mm=mm, words="the slab's outline")
    )


def _chosen(found: Sequence[Ring], *, answers: Answers, draft: PlanDraft, mm: float) -> Ring | None:
    areas = {ring.id: _area_m2(ring, mm=mm) for ring in found}
    draft.questions.append(
        Question(
            id=_OUTLINE,
            about="plan",
            text="Which of these is the slab's outline?",
            why=f"{len(found)} outlines are drawn on the layer",
            choices=tuple(
                Choice(
                    value=ring.id,
                    words=f"{areas[ring.id]:.4g} m², from {ring.corners[0][0]:g}, {ring.corners[0][1]:g}",
                )
                for ring in found
            ),
            suggested=max(areas, key=lambda id_: areas[id_]),
        )
    )
    return next((ring for ring in found if ring.id == answers.get(_OUTLINE)), None)


def _shut(ring: Ring, *, answers: Answers, draft: PlanDraft, mm: float, words: str) -> Ring | None:
    if not ring.closed:
        draft.questions.append(rings.gap_question(ring, mm=mm, words=words))
    return rings.closed(ring, answers=answers)


def _openings(
    plan: Plan, *, answers: Answers, draft: PlanDraft, mm: float, taken: Ring | None
) -> Iterator[dict[str, Any]]:
    names = layers.with_role(plan, role="openings", answers=answers)
    found = [ring for ring in plans.rings_on(plan, layers=names) if taken is None or ring.id != taken.id]
    for number, ring in enumerate(found, start=1):
        shut = _shut(ring, answers=answers, draft=draft, mm=mm, words=f"opening {number}")
        if shut is None:
            continue
        question = Question(
            id=f"plan.opening.{ring.id}",
            about="plan",
            text=f"What is the opening at {_where(shut, mm=mm)}?",
            why=f"a name for it; left empty it is called opening {number}",
            typed=True,
            needed=False,
        )
        draft.questions.append(question)
        name = answers.get(question.id, "").strip() or f"opening {number}"
        yield {"name": name, **_shape(shut, mm=mm, words=f"opening {name}", draft=draft)}


def _shape(ring: Ring, *, mm: float, words: str, draft: PlanDraft) -> dict[str, Any]:
    """A circle as the drawing has it, any other outline by its corners."""
    round_one = plans.circle_of(ring)
    if round_one is None:
        return {"outline": _corners(ring, mm=mm, words=words, draft=draft)}
    (x, y), diameter = round_one
    return {"circle": {"centre": [whole(x * mm), whole(y * mm)], "diameter_mm": whole(diameter * mm)}}


def _beams(plan: Plan, *, answers: Answers, draft: PlanDraft, mm: float) -> Iterator[dict[str, Any]]:
    names = layers.with_role(plan, role="beams", answers=answers)
    lines = [line for line in plan.segments if line.layer in names and not line.bulge]
    lines += [leg for ring in plan.rings if ring.layer in names for leg in _legs(ring)]
    for line in lines:
        text, question = labels.of_line(line, lines=lines, plan=plan, answers=answers)
        if question is not None:
            draft.questions.append(question)
        if not text or text == labels.LEAVE_OUT:
            continue
        label = labels.label_of(text)
        if label is None:
            draft.blame("bad_label", f"{text[:60]!r} is no beam; write name, width and depth as B1 230x450")
            continue
        yield {
            "name": label.name,
            "width_mm": label.width_mm,
            "depth_mm": label.depth_mm,
            "start": [whole(line.start[0] * mm), whole(line.start[1] * mm)],
            "end": [whole(line.end[0] * mm), whole(line.end[1] * mm)],
        }


def _legs(ring: Ring) -> Iterator[Segment]:
    places = [(x, y) for x, y, _bulge in ring.corners]
    pairs = zip(places, [*places[1:], *places[:1]] if ring.closed else places[1:], strict=False)
    for number, (start, end) in enumerate(pairs, start=1):
        yield Segment(id=f"{ring.id}.{number}", layer=ring.layer, start=start, end=end)


def _corners(ring: Ring, *, mm: float, words: str, draft: PlanDraft) -> list[list[float]]:
    places = plans.straightened(ring.corners, mm=mm)
    if ring.curved:
        draft.notes.append(
            f"{words}: its arcs are drawn as {len(places)} straight edges, "
            f"none further than {plans.CHORD_ERROR_MM:g} mm from the arc"
        )
    return [[whole(x), whole(y)] for x, y in places]


def whole(value: float) -> float:
    """Writes a coordinate to a thousandth of a millimetre, whole ones as whole numbers.

    Source: derived.

    Args:
        value: the coordinate [mm].

    Returns:
        The rounded coordinate.

    >>> whole(9200.0), whole(-0.0), whole(1 / 3)
    (9200, 0, 0.333)
    """
    rounded = round(value, 3)
    return int(rounded) if float(rounded).is_integer() else rounded


def _where(ring: Ring, *, mm: float) -> str:
    places = plans.straightened(ring.corners, mm=mm)
    xs, ys = [x for x, _y in places], [y for _x, y in places]
    size = f"{max(xs) - min(xs):.5g} × {max(ys) - min(ys):.5g} mm"
    return f"{min(xs):g}, {min(ys):g} ({size})"


def _area_m2(ring: Ring, *, mm: float) -> float:
    places = plans.straightened(ring.corners, mm=mm)
    turned = zip(places, [*places[1:], *places[:1]], strict=True)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in turned)) / 2e6
