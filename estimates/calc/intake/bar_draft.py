"""From a bar schedule and a person's answers to the bars of a design sheet."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from pydantic import TypeAdapter, ValidationError

from estimates.calc.intake import shape_words, spread
from estimates.calc.intake.cells import MM, Figure
from estimates.calc.intake.found import Answers, Choice, LineFault, Question
from estimates.calc.intake.schedule import BarRow, Schedule
from estimates.calc.intake.spread import Measures
from estimates.calc.reading import bar_checks
from estimates.calc.sheet import faults as sheet_faults
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.steel import BarMark, SteelMethods
from estimates.calc.steel import designation

FAULTY: Final = "bars.faulty"
GOOD_ONLY: Final = "good ones only"

_UNIT: Final = "bars.unit"
_DECIMAL: Final = "bars.decimal"
_BAR: Final = TypeAdapter(BarMark)


@dataclass(slots=True, kw_only=True)
class BarDraft:
    """The bars of a design sheet as far as they are clear, with what is asked and at fault.

    `lines` holds the line in the file of each bar; `left_out` the lines that a person leaves out; `catalogue`
    the edition of the shape codes.
    """

    bars: list[dict[str, Any]] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)
    left_out: list[int] = field(default_factory=list)
    catalogue: str = ""
    questions: list[Question] = field(default_factory=list)
    faults: list[LineFault] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Lengths:
    """How the figures of the file become millimetres."""

    unit: str
    comma: bool

    def mm(self, figure: Figure) -> float | None:
        """Millimetres of a figure; None while its unit is not known."""
        unit = figure.unit or self.unit
        if unit not in MM:
            return None
        value = figure.value / 1000 if figure.either and self.comma else figure.value
        found = round(value * MM[unit], 3)
        return int(found) if found.is_integer() else found


def of_schedule(schedule: Schedule, *, answers: Answers, measures: Measures) -> BarDraft:
    """Makes what can be made of a schedule with the answers so far; nothing is guessed.

    Source: derived: each figure is the file's or a person's.

    Args:
        schedule: the schedule.
        answers: the answers so far.
        measures: lengths of the drawing, cover and profile, from which counts are worked out.

    Returns:
        The draft. While a line is at fault and no person has asked for the good ones only, it holds no bar.
    """
    draft = BarDraft()
    lengths = _lengths(schedule, answers=answers, draft=draft)
    draft.questions += shape_words.questions(schedule, answers=answers)
    draft.catalogue = shape_words.edition_of(schedule, answers=answers)
    for row in schedule.rows:
        if shape_words.answer_for(row, schedule=schedule, answers=answers) == shape_words.LEAVE_OUT:
            draft.left_out.append(row.line)
            continue
        bar = _bar(row, schedule=schedule, lengths=lengths, answers=answers, draft=draft, measures=measures)
        if bar is not None:
            draft.bars.append(bar)
            draft.lines.append(row.line)
    _check(draft, measures=measures)
    draft.faults = sorted([*schedule.faults, *draft.faults], key=lambda fault: fault.line)
    if draft.faults:
        _good_only(draft, answers=answers)
    return draft


def _lengths(schedule: Schedule, *, answers: Answers, draft: BarDraft) -> _Lengths:
    figures = [
        figure
        for row in schedule.rows
        for figure in (*row.dimensions.values(), row.spacing, row.over)
        if figure
    ]
    unit = schedule.length_unit
    if not unit and any(not figure.unit for figure in figures):
        draft.questions.append(_unit_question(figures))
        unit = answers.get(_UNIT, "")
    either = next((figure for figure in figures if figure.either), None)
    if either is not None:
        draft.questions.append(_decimal_question(either))
    return _Lengths(unit, answers.get(_DECIMAL) == ",")


def _unit_question(figures: list[Figure]) -> Question:
    plain = [figure.value for figure in figures if not figure.unit]
    return Question(
        id=_UNIT,
        about="bars",
        text="In which unit are the lengths of the schedule?",
        why=f"the file does not say it; its lengths run from {min(plain):g} to {max(plain):g}",
        choices=tuple(
            Choice(value=unit, words=f"{unit}: up to {max(plain) * MM[unit] / 1000:.4g} m") for unit in MM
        ),
    )


def _decimal_question(figure: Figure) -> Question:
    whole, part = divmod(int(figure.value), 1000)
    return Question(
        id=_DECIMAL,
        about="bars",
        text=f"What is {whole},{part:03d} in this file?",
        why="the comma before three digits can be read both ways",
        choices=(
            Choice(value=".", words=f"{whole}{part:03d}: the comma groups thousands"),
            Choice(value=",", words=f"{whole}.{part:03d}: the comma is the decimal mark"),
        ),
    )


def _bar(
    row: BarRow,
    *,
    schedule: Schedule,
    lengths: _Lengths,
    answers: Answers,
    draft: BarDraft,
    measures: Measures,
) -> dict[str, Any] | None:
    dimensions = {letter: lengths.mm(figure) for letter, figure in row.dimensions.items()}
    shape = shape_words.answer_for(row, schedule=schedule, answers=answers)
    member = _member(row, schedule=schedule, answers=answers, draft=draft)
    members = _members(row, schedule=schedule, answers=answers, draft=draft)
    counted, asked = spread.ask(
        row,
        spacing_mm=None if row.spacing is None else lengths.mm(row.spacing),
        over_mm=None if row.over is None else lengths.mm(row.over),
        answers=answers,
        measures=measures,
    )
    if row.spacing is None or lengths.mm(row.spacing) is not None:
        draft.questions += asked
    if not (shape and member and members and counted) or None in dimensions.values():
        return None
    size = _size(row, draft=draft, measures=measures)
    if size is None:
        return None
    kind, _blank, ends = shape.partition(" ")
    bar = {
        "mark": row.mark,
        "member": member,
        "size_mm": size,
        "shape": kind,
        "dimensions": dimensions,
    }
    bar |= counted | {"members": members}
    return bar | {name: text for name, text in (("ends", ends), ("remark", row.remark)) if text}


def _size(row: BarRow, *, draft: BarDraft, measures: Measures) -> int | None:
    """The size in the sheet's terms: "#5" is a name of the profile's bar table, not 5 mm."""
    name = f"{row.type_letter}{row.size_mm}"
    if not designation.named(name):
        return row.size_mm
    found = designation.size_of(name, profile=measures.profile)
    if found is None:
        names = ", ".join(designation.names(measures.profile))
        message = (
            f"size {name} is not in the bar table of profile {measures.profile.id}; its sizes are {names}"
        )
        draft.faults.append(LineFault(line=row.line, column="size", code="unknown_bar_size", message=message))
    return found


def _member(row: BarRow, *, schedule: Schedule, answers: Answers, draft: BarDraft) -> str:
    if row.member:
        return row.member
    above = [other.member for other in schedule.rows if other.line < row.line and other.member]
    question = Question(
        id=f"bars.member.{row.line}",
        about="bars",
        text=f"Which member has the bars of mark {row.mark}?",
        why=f"line {row.line}: the member is empty",
        choices=tuple(Choice(value=name, words=f"{name}, as above") for name in above[-1:]),
        typed=True,
        suggested=above[-1] if above else "",
    )
    draft.questions.append(question)
    return answers.get(question.id, "").strip()


def _members(row: BarRow, *, schedule: Schedule, answers: Answers, draft: BarDraft) -> int:
    if row.members is not None or not schedule.has_members:
        return row.members or 1
    question = Question(
        id=f"bars.members.{row.line}",
        about="bars",
        text=f"In how many members are the bars of mark {row.mark}?",
        why=f"line {row.line}: the number of members is empty",
        choices=(Choice(value="1", words="one"),),
        typed=True,
    )
    draft.questions.append(question)
    said = answers.get(question.id, "")
    return int(said) if said.isascii() and said.isdigit() and len(said) < 5 else 0


def _check(draft: BarDraft, *, measures: Measures) -> None:
    """Finds what the design sheet would refuse, by the line of the file."""
    sound: dict[int, BarMark] = {}
    for index, bar in enumerate(draft.bars):
        try:
            sound[index] = _BAR.validate_python(bar)
        except ValidationError as error:
            found = sheet_faults.from_validation(error)
            draft.faults += [_at(draft.lines[index], fault=fault, mark=bar["mark"]) for fault in found]
    methods = SteelMethods(catalogue=draft.catalogue) if draft.catalogue else SteelMethods()  # type: ignore[arg-type]  # one of the catalogues
    meant = Draft(bars=sound, cover_mm=measures.cover_mm, steel_methods=methods)
    for fault in bar_checks.faults(meant, profile=measures.profile):
        index = int(fault.path.removeprefix("bars[").split("]", 1)[0])
        draft.faults.append(_at(draft.lines[index], fault=fault, mark=""))


def _at(line: int, *, fault: sheet_faults.Fault, mark: str) -> LineFault:
    start, _bracket, rest = fault.message.partition("] ")
    message = rest if start.startswith("bars[") else fault.message
    return LineFault(line=line, code=fault.code, message=f"mark {mark}: {message}" if mark else message)


def _good_only(draft: BarDraft, *, answers: Answers) -> None:
    bad = sorted({fault.line for fault in draft.faults})
    shown = ", ".join(str(line) for line in bad[:20])
    draft.questions.insert(
        0,
        Question(
            id=FAULTY,
            about="bars",
            text=f"{len(bad)} lines of the schedule cannot be used: {shown}. Take over the others?",
            why="otherwise nothing of the schedule is taken over; correct the file and send it again",
            choices=(Choice(value=GOOD_ONLY, words="yes, take over the good lines only"),),
        ),
    )
    kept = [(bar, line) for bar, line in zip(draft.bars, draft.lines, strict=True) if line not in set(bad)]
    if answers.get(FAULTY) != GOOD_ONLY:
        kept = []
    draft.left_out += bad
    draft.bars, draft.lines = [bar for bar, _line in kept], [line for _bar, line in kept]


def lengths_of(sheet: Mapping[str, Any]) -> dict[str, float]:
    """Names the lengths of a drawing over which bars may be spread.

    Source: derived: the slab's extents and the beams' lengths.

    Args:
        sheet: outline and beams as a design sheet holds them [mm].

    Returns:
        Lengths by their names [mm].

    >>> lengths_of({"outline": [[0, 0], [9200, 0], [9200, 8000], [0, 8000]]})
    {'the slab along x': 9200, 'the slab along y': 8000}
    """
    return dict(_lengths_of(sheet))


def _lengths_of(sheet: Mapping[str, Any]) -> Iterator[tuple[str, float]]:
    outline = sheet.get("outline") or []
    for at, axis in enumerate("xy"):
        places = [corner[at] for corner in outline]
        if places:
            yield f"the slab along {axis}", max(places) - min(places)
    for beam in sheet.get("beams", ()):
        (x, y), (end_x, end_y) = beam["start"], beam["end"]
        length = round(((end_x - x) ** 2 + (end_y - y) ** 2) ** 0.5, 3)
        yield f"beam {beam['name']}", int(length) if float(length).is_integer() else length
