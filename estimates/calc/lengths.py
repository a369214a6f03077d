"""Lengths in feet and inches: read into millimetres, and written back when they are whole sixty-fourths."""

import re
from fractions import Fraction
from typing import Final

from estimates.calc import units

_FEET: Final = r"(?:'|′|’|ft\.?|feet|foot)"
_INCHES: Final = r"(?:\"|″|”|''|in\.?|inch|inches)"
_NUMBER: Final = r"(?:\d{1,6}[ -]\d{1,3}/\d{1,3}|\d{1,3}/\d{1,3}|\d{1,6}(?:\.\d{1,6})?)"
_LENGTH: Final = re.compile(
    rf"(?P<sign>-?)\s*(?:(?P<feet>{_NUMBER})\s*{_FEET})?\s*-?\s*(?:(?P<inches>{_NUMBER})\s*{_INCHES})?",
    re.IGNORECASE,
)
_MARKED: Final = re.compile(r"['\"′″’”]|\b(?:ft|in|feet|foot|inch|inches)\b|\d(?:ft|in)\b", re.IGNORECASE)
_FINEST: Final = 64
"""Parts of an inch in which a length is written back."""
_READ: Final = 8
"""Parts of an inch in which a length is shown beside millimetres."""


def marked(text: str) -> bool:
    r"""Whether a text is meant as feet or inches.

    Source: derived: a mark or a word of feet or inches stands in it.

    Args:
        text: what was typed.

    Returns:
        Whether it is.

    >>> marked("12'-6\""), marked("3810")
    (True, False)
    """
    return _MARKED.search(text) is not None


def read(text: str) -> float | None:
    r"""Reads a length in feet and inches.

    Source: the yard of 1959, through the one registry of units.

    Args:
        text: the length, as 12'-6 1/2", 12 ft 6 in, 5/8 in or 0.75".

    Returns:
        The length [mm], None when the text is none.

    >>> [read(text) for text in ("12'-6 1/2\"", "12 ft 6 in", "5/8 in", "-2'", "12 ft 6", "6\" 2'")]
    [3822.7, 3810.0, 15.875, -609.6, None, None]
    """
    found = _LENGTH.fullmatch(text.strip())
    if found is None or (found["feet"] is None and found["inches"] is None):
        return None
    try:
        inches = _fraction(found["feet"]) * 12 + _fraction(found["inches"])
    except ZeroDivisionError:
        return None
    sign = -1 if found["sign"] else 1
    return sign * round(units.convert(float(inches), unit="in", to="mm"), 6)


def feet_and_inches(millimetres: float) -> str | None:
    r"""Writes a length in feet and inches, when it is a whole number of sixty-fourths of an inch.

    Source: derived: `read` gives the same millimetres back.

    Args:
        millimetres: the length [mm].

    Returns:
        The length, as 12'-6 1/2"; None when it is not such a number, so that millimetres stay exact.

    >>> [feet_and_inches(value) for value in (3822.7, 15.875, 609.6, 0.0, 150.0)]
    ['12\'-6 1/2"', '5/8"', "2'", '0"', None]
    """
    inches = units.convert(abs(millimetres), unit="mm", to="in")
    parts = round(inches * _FINEST)
    text = _written(Fraction(parts, _FINEST))
    signed = f"-{text}" if millimetres < 0 and parts else text
    exact = read(signed)
    return signed if exact is not None and abs(exact - millimetres) < 5e-7 else None


def nearest(millimetres: float) -> str:
    r"""Writes a length in feet and inches, to the nearest eighth of an inch: to read beside millimetres.

    Source: common practice: lengths of bent bars are listed to a fraction of an inch.

    Args:
        millimetres: the length [mm].

    Returns:
        The length, as 12'-6 1/2"; it is never read back.

    >>> [nearest(value) for value in (3822.7, 2960, 150.0, 309.0)]
    ['12\'-6 1/2"', '9\'-8 1/2"', '5 7/8"', '1\'-0 1/8"']
    """
    parts = round(units.convert(abs(millimetres), unit="mm", to="in") * _READ)
    text = _written(Fraction(parts, _READ))
    return f"-{text}" if millimetres < 0 and parts else text


def _fraction(text: str | None) -> Fraction:
    """A whole number, a decimal, a fraction, or a whole number with a fraction, as 6 1/2 or 6-1/2."""
    if text is None:
        return Fraction(0)
    return sum((Fraction(part) for part in re.split(r"[ -]", text)), Fraction(0))


def _written(inches: Fraction) -> str:
    feet, rest = divmod(inches, 12)
    whole, part = divmod(rest, 1)
    words = [str(whole)] if whole or feet or not part else []
    words += [f"{part.numerator}/{part.denominator}"] if part else []
    shown = f'{" ".join(words)}"'
    if not feet:
        return shown
    return f"{feet}'-{shown}" if rest else f"{feet}'"
