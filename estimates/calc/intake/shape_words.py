"""The shapes that schedules name in words or codes, and the sheet's own catalogues."""

import re
from collections.abc import Sequence
from typing import Final

from estimates.calc.intake.found import Answers, Choice, Question
from estimates.calc.intake.schedule import BarRow, Schedule
from estimates.standards import catalogues

LEAVE_OUT: Final = "leave out"
CATALOGUE: Final = "bars.catalogue"
_PREFIX: Final = "bars.shape."

_WAYS: Final = ("up", "down")
_SAID: Final = {
    "st": "straight",
    "one end bent": "l",
    "one end bent up": "l up",
    "one end bent down": "l down",
    "both ends bent": "u",
    "both ends bent up": "u up",
    "both ends bent down": "u down",
    "closed stirrup": "stirrup",
    "link": "stirrup",
    "closed link": "stirrup",
    "cranked bar": "cranked",
    "bent up": "cranked",
}
_WORDS: Final = {
    "straight": "straight: A",
    "l": "one end bent: legs A, B",
    "u": "both ends bent: legs A, C, back B",
    "chair": "chair: head A, height B, feet C",
    "stirrup": "closed stirrup: A by B",
    "cranked": "cranked: run B, rise D, legs A, C",
}


def edition_of(schedule: Schedule, *, answers: Answers) -> str:
    """Gives the catalogue in which the schedule's codes are read.

    Source: the schedule's own title, as "BS 8666:2005 shapes", else a person's answer.

    Args:
        schedule: the schedule.
        answers: the answers so far.

    Returns:
        The catalogue's id, empty while it is not known.
    """
    said = {_plain(fact.value) for fact in schedule.titles if fact.name == "shape_standard"}
    titled = [name for name in _coded() if _plain(catalogues.load(name).title) in said]
    return titled[0] if titled else answers.get(CATALOGUE, "") if answers.get(CATALOGUE) in _coded() else ""


def questions(schedule: Schedule, *, answers: Answers) -> list[Question]:
    """Asks in which edition codes are read, and once for each word what shape it is.

    Source: words by common practice; a code means the shape of its edition only.

    Args:
        schedule: the schedule.
        answers: the answers so far.

    Returns:
        One question for each word, in order of their first use; those of codes wait for the edition.
    """
    found: dict[str, list[BarRow]] = {}
    for row in schedule.rows:
        found.setdefault(word_of(row), []).append(row)
    edition = edition_of(schedule, answers=answers)
    coded = [word for word in found if _is_code(word)]
    stated = edition and answers.get(CATALOGUE) != edition
    asked = [_edition_question(coded, schedule=schedule)] if coded and not stated else []
    for word, rows in found.items():
        if edition or word not in coded:
            asked.append(_question(word, rows=rows, edition=edition))
    return asked


def answer_for(row: BarRow, *, schedule: Schedule, answers: Answers) -> str:
    """Gives what a person has said of a row's shape.

    Source: derived.

    Args:
        row: the row.
        schedule: its schedule.
        answers: the answers so far.

    Returns:
        A shape of the catalogue with the way its ends point, "leave out", or empty while it is open.
    """
    said = answers.get(_PREFIX + word_of(row), "")
    edition = edition_of(schedule, answers=answers)
    return said if said == LEAVE_OUT or said in dict(catalogue(edition)) else ""


def word_of(row: BarRow) -> str:
    """Gives the word or code of a row's shape as it is asked for; a code that lost its zero gets it back.

    Source: BS 8666:2005: shape codes have two digits.

    Args:
        row: the row.

    Returns:
        The word in small letters, a code as it is.
    """
    word = row.shape.strip()
    if (
        word.isascii()
        and word.isdigit()
        and len(word) == 1
        and word.zfill(2) in catalogues.load("bs8666-2005").shapes
    ):
        return word.zfill(2)
    return word if _is_code(word) else word.lower()


def proposed(word: str, *, edition: str) -> str:
    """Proposes a shape of the catalogue for a word.

    Source: see `questions`.

    Args:
        word: the word or code.
        edition: the catalogue in which codes are read, empty when there is none.

    Returns:
        The shape, empty when none is proposed.

    >>> proposed("both ends bent up", edition=""), proposed("closed stirrup", edition="")
    ('u up', 'stirrup')
    >>> proposed("26", edition="bs8666-2005"), proposed("26", edition="")
    ('26', '')
    """
    return word if word in dict(catalogue(edition)) else _SAID.get(word, "")


def catalogue(edition: str = "") -> tuple[tuple[str, str], ...]:
    """Gives the shapes of the design sheet: the trade's words, also by the way bent ends point, and codes.

    Source: the catalogues of `standards/shapes`.

    Args:
        edition: the catalogue of the codes, empty for the words alone.

    Returns:
        Pairs of the shape's name and what its letters mean.

    >>> dict(catalogue())["stirrup"]
    'closed stirrup: A by B'
    """
    words = [
        (code, _WORDS.get(code, shape.title))
        for code, shape in catalogues.load(catalogues.WORDS).shapes.items()
    ]
    bent = [(f"{shape} {way}", f"{_WORDS[shape]}; ends {way}") for shape in ("l", "u") for way in _WAYS]
    codes = catalogues.load(edition).shapes.items() if edition else ()
    return (*words, *bent, *((code, f"{code}: {shape.title}") for code, shape in codes))


def _coded() -> list[str]:
    return [name for name in catalogues.known() if name != catalogues.WORDS]


def _is_code(word: str) -> bool:
    return any(word in catalogues.load(name).shapes for name in _coded())


def _plain(title: str) -> str:
    return re.sub(r"\s", "", title).upper()


def _edition_question(coded: Sequence[str], *, schedule: Schedule) -> Question:
    said = next((fact.value for fact in schedule.titles if fact.name == "shape_standard"), "")
    why = f"the schedule says {said}" if said else "the schedule does not say it"
    return Question(
        id=CATALOGUE,
        about="bars",
        text=f"In which edition are the shape codes {', '.join(coded[:8])} read?",
        why=f"{why}; the same code means another shape in another edition",
        choices=tuple(Choice(value=name, words=catalogues.load(name).title) for name in _coded()),
    )


def _question(word: str, *, rows: Sequence[BarRow], edition: str) -> Question:
    named = tuple(Choice(value=shape, words=words) for shape, words in catalogue(edition))
    return Question(
        id=_PREFIX + word,
        about="bars",
        text=f"Which shape is {word!r}?",
        why=_why(rows),
        choices=(*named, Choice(value=LEAVE_OUT, words="leave these bars out")),
        suggested=proposed(word, edition=edition),
    )


def _why(rows: Sequence[BarRow]) -> str:
    letters = ", ".join(rows[0].dimensions)
    marks = ", ".join(row.mark for row in rows[:6])
    more = f" and {len(rows) - 6} more" if len(rows) > 6 else ""
    return f"marks {marks}{more}; dimensions {letters}"
