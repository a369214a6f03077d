"""Days before which forms and props are not taken away, by the code's table. The engineer decides."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from estimates.calc.sheet.parts import DesignSheet
from estimates.standards.load import Profile
from estimates.standards.values import Value

_BEAM: Final = "beam"
_ORDINARY: Final = "opc"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of the formwork: what it is, for what its days hold, and the least days [day]."""

    title: str
    holds_for: str
    least: Value


def parts(sheet: DesignSheet, *, profile: Profile) -> tuple[Part, ...]:
    """The rows of the code's table that speak of a slab's parts: slab and props, and beams where it has some.

    Source: `strip` of the standards data: IS 456 cl. 11.3.1, BS 8110-1 table 6.2, ACI 347. No table speaks of
    overhangs and cantilevers; their day is the engineer's alone.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Returns:
        The rows in the order of their days; of spans, all are given, since the sheet does not state them.

    >>> from importlib.resources import files
    >>> from estimates.calc.reading import reader as sheets
    >>> from estimates.standards import load
    >>> text = files("estimates").joinpath("examples/roof-over-ridge-house.json").read_text(encoding="utf-8")
    >>> first = parts(sheets.read(text), profile=load.profile("is"))[0]
    >>> first.title, first.least.value
    ('forms of a slab, its props left or refixed at once', 3.0)
    """
    found = []
    for key, least in profile.group("strip").items():
        if sheet.beams or _BEAM not in key:
            head, _, title = least.note.partition(": ")
            found.append(Part(title=title, holds_for=head.removeprefix("not before, "), least=least))
    return tuple(sorted(found, key=lambda part: (_BEAM in part.title, part.least.value)))


def fits(sheet: DesignSheet) -> bool:
    """Whether the tables speak of the slab's cement: they are for ordinary portland cement.

    Source: IS 456 cl. 11.3.1, BS 8110-1 table 6.2: other cements gain strength otherwise.

    Args:
        sheet: the design sheet.

    Returns:
        Whether they do; an unknown cement is not taken for ordinary.
    """
    return sheet.curing.cement == _ORDINARY


def not_before(poured: date, *, least: Value) -> date:
    """The first day on which so many days are over.

    Source: derived: the day of placing is day 0.

    Args:
        poured: day of placing.
        least: whole days [day].

    Returns:
        The day.
    """
    return poured + timedelta(days=round(least.value))
