"""The shapes that schedules name in words or codes, and the sheet's own catalogue."""

from collections.abc import Sequence
from typing import Final, get_args

from estimates.calc.intake.found import Answers, Choice, Question
from estimates.calc.intake.schedule import BarRow
from estimates.calc.sheet import types

LEAVE_OUT: Final = "leave out"
_PREFIX: Final = "bars.shape."

_WAYS: Final = ("up", "down")
_SAID: Final = {
    "straight": "straight",
    "st": "straight",
    "00": "straight",
    "l": "l",
    "11": "l",
    "one end bent": "l",
    "one end bent up": "l up",
    "one end bent down": "l down",
    "u": "u",
    "21": "u",
    "both ends bent": "u",
    "both ends bent up": "u up",
    "both ends bent down": "u down",
    "stirrup": "stirrup",
    "closed stirrup": "stirrup",
    "link": "stirrup",
    "closed link": "stirrup",
    "cranked": "cranked",
    "cranked bar": "cranked",
    "bent up": "cranked",
}


def questions(rows: Sequence[BarRow]) -> list[Question]:
    """Asks once for each word what shape it is.

    Source: derived: BS 8666:2005 codes 00, 11 and 21 are straight, one and both ends bent; words by common
    practice.

    Args:
        rows: the rows of the schedule.

    Returns:
        One question for each word, in order of their first use.
    """
    found: dict[str, list[BarRow]] = {}
    for row in rows:
        found.setdefault(word_of(row), []).append(row)
    return [
        Question(
            id=_PREFIX + word,
            about="bars",
            text=f"Which shape is {word!r}?",
            why=_why(of_word),
            choices=_choices(),
            suggested=proposed(word),
        )
        for word, of_word in found.items()
    ]


def answer_for(row: BarRow, *, answers: Answers) -> str:
    """Gives what a person has said of a row's shape.

    Source: derived.

    Args:
        row: the row.
        answers: the answers so far.

    Returns:
        A shape of the catalogue with the way its ends point, "leave out", or empty while it is open.
    """
    said = answers.get(_PREFIX + word_of(row), "")
    return said if said in {choice.value for choice in _choices()} else ""


def word_of(row: BarRow) -> str:
    """Gives the word or code of a row's shape as it is asked for; a code that lost its zero gets it back.

    Source: BS 8666:2005: shape codes have two digits.

    Args:
        row: the row.

    Returns:
        The word in small letters.
    """
    word = row.shape.strip().lower()
    return word.zfill(2) if word.isascii() and word.isdigit() else word


def proposed(word: str) -> str:
    """Proposes a shape of the catalogue for a word.

    Source: see `questions`.

    Args:
        word: the word or code.

    Returns:
        The shape, empty when none is proposed.

    >>> proposed("both ends bent up"), proposed("closed stirrup"), proposed("26")
    ('u up', 'stirrup', '')
    """
    return word if word in dict(catalogue()) else _SAID.get(word, "")


def catalogue() -> tuple[tuple[str, str], ...]:
    """Gives the shapes of the design sheet, those with bent ends also by the way these point.

    Source: derived: the sheet's own catalogue.

    Returns:
        Pairs of the shape's name and what its letters mean.

    >>> dict(catalogue())["stirrup"]
    'closed stirrup: A by B'
    """
    shapes = [str(shape) for shape in get_args(types.Shape)]
    bent = [f"{shape} {way}" for shape in ("l", "u") for way in _WAYS]
    return tuple((shape, _WORDS.get(shape, shape.replace("_", " "))) for shape in [*shapes, *bent])


def _choices() -> tuple[Choice, ...]:
    named = [Choice(value=shape, words=words) for shape, words in catalogue()]
    return (*named, Choice(value=LEAVE_OUT, words="leave these bars out"))


def _why(rows: Sequence[BarRow]) -> str:
    letters = ", ".join(rows[0].dimensions)
    marks = ", ".join(row.mark for row in rows[:6])
    more = f" and {len(rows) - 6} more" if len(rows) > 6 else ""
    return f"marks {marks}{more}; dimensions {letters}"


_WORDS: Final = {
    "straight": "straight: A",
    "l": "one end bent: legs A, B",
    "u": "both ends bent: legs A, C, back B",
    "stirrup": "closed stirrup: A by B",
    "cranked": "cranked: run B, rise D, legs A, C",
    "l up": "one end bent up: legs A, B",
    "l down": "one end bent down: legs A, B",
    "u up": "both ends bent up: legs A, C, back B",
    "u down": "both ends bent down: legs A, C, back B",
}
