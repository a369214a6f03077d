"""From what is typed in the design form to the design sheet as plain data, and back.

The names of the boxes are paths of the sheet, so a fault of the sheet finds its box by its path. Nothing is
mended on the way: a figure that cannot be read is a fault of its box.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import Any, Final, get_args

from babel import Locale
from babel.numbers import NumberFormatError, format_decimal, parse_decimal
from django.utils.translation import gettext as _

from estimates.calc import lengths
from estimates.calc.sheet import types
from estimates.calc.steel import designation
from estimates.pages.boxes.kinds import Box, Kind, Rows
from estimates.pages.boxes.layout import LAYOUT
from estimates.standards import load
from projects.errors import Fault

FORMAT: Final = "pourtally-design/1"
AXES: Final = 2
IN_FEET: Final = "aci"
"""The profile whose lengths are written in feet and inches where they are exact in them."""

_STEP: Final = re.compile(r"([^.\[\]]+)|\[(\d+)\]")
_FIGURE: Final = re.compile(r"^[+-]?[\d.,'\s]{1,30}$", re.ASCII)
_PAIR: Final = re.compile(r"^\s*(-?\d{1,9}(?:\.\d{1,9})?)\s*[,;\s]\s*(-?\d{1,9}(?:\.\d{1,9})?)\s*$", re.ASCII)
_ROW: Final = re.compile(r"^\[(\d{1,6})\]\.", re.ASCII)
_WHOLE: Final = re.compile(r"^\d{1,9}$", re.ASCII)

Typed = Mapping[str, str]
"""What stands in the boxes, by path."""


def typed_rows(typed: Typed, *, rows: Rows) -> list[dict[str, str]]:
    """Return the rows of a table that hold anything, each by the boxes' own paths, in order."""
    found: dict[int, dict[str, str]] = {}
    for path, text in typed.items():
        row = _ROW.match(path.removeprefix(rows.path)) if path.startswith(f"{rows.path}[") else None
        if row is not None and text.strip():
            found.setdefault(int(row[1]), {})[path.removeprefix(rows.path)[row.end() :]] = text
    return [found[number] for number in sorted(found)]


def closed_up(typed: Typed) -> dict[str, str]:
    """Return the boxes with the rows of each table numbered anew, empty rows left out."""
    tables = [part for part in LAYOUT if isinstance(part, Rows)]
    kept = {
        path: text
        for path, text in typed.items()
        if not any(path.startswith(f"{rows.path}[") for rows in tables)
    }
    for rows in tables:
        for number, row in enumerate(typed_rows(typed, rows=rows)):
            kept |= {f"{rows.path}[{number}].{path}": text for path, text in row.items()}
    return kept


def read(typed: Typed, *, locale: Locale) -> tuple[dict[str, Any], tuple[Fault, ...]]:
    """Turn closed-up boxes into a sheet as plain data, with the faults of boxes empty or not readable."""
    sheet: dict[str, Any] = {"schema": FORMAT}
    faults = []
    counts = {part.path: len(typed_rows(typed, rows=part)) for part in LAYOUT if isinstance(part, Rows)}
    for path, box in _boxes(mix=typed.get("mix.kind", ""), counts=counts):
        text = typed.get(path, "").strip()
        if not text:
            if box.needed and box.needed_with in {"", typed.get("mix.kind", "")}:
                faults.append(Fault(path=path, code="missing", message=_("This is needed.")))
            continue
        value, fault = _value(text, box=box, locale=locale, profile_id=typed.get("profile", ""))
        _put(sheet, path=path, value=value)
        if fault:
            faults.append(Fault(path=path, code="unreadable", message=fault))
    return sheet, tuple(faults)


def written(sheet: Mapping[str, Any], *, locale: Locale) -> dict[str, str]:
    """Turn a sheet as plain data into what stands in the boxes; the inverse of `read`."""
    counts = {part.path: len(_at(sheet, path=part.path) or ()) for part in LAYOUT if isinstance(part, Rows)}
    texts = {
        path: _in_feet(_at(sheet, path=path), box=box, sheet=sheet)
        or _shown(_at(sheet, path=path), box=box, locale=locale, profile_id=_at(sheet, path="profile"))
        for path, box in _boxes(mix=_at(sheet, path="mix.kind") or "", counts=counts)
    }
    return {path: text for path, text in texts.items() if text}


def box_of(path: str, *, paths: set[str]) -> str | None:
    """Return the box to which a fault's path belongs: itself, or the nearest one above it."""
    steps = [match.end() for match in _STEP.finditer(path)]
    return next((path[:end] for end in reversed(steps) if path[:end] in paths), None)


def _boxes(*, mix: str, counts: Mapping[str, int]) -> Iterator[tuple[str, Box]]:
    """Every box that counts, by its full path; the boxes of the other kind of mix do not."""
    for part in LAYOUT:
        if isinstance(part, Rows):
            for number in range(counts[part.path]):
                yield from ((f"{part.path}[{number}].{box.path}", box) for box in part.boxes)
        elif not part.only or mix in part.only:
            yield from ((box.path, box) for box in part.boxes)


def _value(text: str, *, box: Box, locale: Locale, profile_id: str) -> tuple[Any, str]:
    """What the sheet holds for a text, and why it could not be read when it could not."""
    match box.kind:
        case Kind.CHECK:
            found: tuple[Any, str] = True, ""
        case Kind.NUMBER:
            found = _figure(text, box=box, locale=locale)
        case Kind.BAR:
            found = _bar(text, locale=locale, profile_id=profile_id)
        case Kind.WHOLE_CHOICE:
            found = (int(text) if _WHOLE.match(text) else text), ""
        case Kind.WORDS:
            found = text.split(), ""
        case Kind.WHOLES:
            found = _wholes(text)
        case Kind.POINT | Kind.CORNERS:
            found = _corners(text, single=box.kind == Kind.POINT)
        case _:
            found = text, ""
    return found


def _bar(text: str, *, locale: Locale, profile_id: str) -> tuple[Any, str]:
    """A bar size in millimetres, or by its name in the profile's table: "#5"."""
    if not designation.named(text):
        return _number(text, locale=locale)
    profile = load.profile(profile_id) if profile_id in get_args(types.ProfileId) else None
    size = designation.size_of(text, profile=profile) if profile is not None else None
    if size is not None:
        return size, ""
    known = (
        ", ".join(designation.names(profile)) if profile is not None else _("those of a profile; choose it")
    )
    return text, _("“%(typed)s” is no bar size here; the sizes are %(known)s") % {
        "typed": text,
        "known": known,
    }


def _corners(text: str, *, single: bool) -> tuple[Any, str]:
    corners = [_corner(line) for line in text.splitlines() if line.strip()]
    bad = next((at for at, corner in enumerate(corners, start=1) if corner is None), None)
    if bad is not None:
        return corners, _("line %(line)s is not x, y in mm; write it as 4000, 0") % {"line": bad}
    return (corners[0] if single and len(corners) == 1 else corners), ""


def _wholes(text: str) -> tuple[Any, str]:
    steps = [step for step in re.split(r"[,;\s]+", text) if step]
    if all(_WHOLE.match(step) for step in steps):
        return [int(step) for step in steps], ""
    return steps, _("“%(typed)s” are not whole numbers; write them as 1, 2, 4") % {"typed": text}


def _figure(text: str, *, box: Box, locale: Locale) -> tuple[Any, str]:
    """A plain figure; a length also in feet and inches."""
    figure, fault = _number(text, locale=locale)
    if not fault or box.unit != "mm" or not lengths.marked(text):
        return figure, fault
    length = lengths.read(text)
    if length is None:
        refused = _("“%(typed)s” is not a length; write it as 12'-6 1/2\" or 5/8 in, or in mm")
        return text, refused % {"typed": text}
    return _whole(length), ""


def _number(text: str, *, locale: Locale) -> tuple[Any, str]:
    refused = _("“%(typed)s” is not a number; write it like 125 or 0.5") % {"typed": text}
    if not _FIGURE.match(text):
        return text, refused
    try:
        figure = parse_decimal(re.sub(r"\s", "", text), locale=locale, strict=True)
    except NumberFormatError:
        return text, refused
    return (int(figure) if figure == figure.to_integral_value() else float(figure)), ""


def _corner(line: str) -> list[float] | None:
    if lengths.marked(line):
        return _corner_in_feet(line)
    pair = _PAIR.match(line)
    return None if pair is None else [_whole(float(pair[1])), _whole(float(pair[2]))]


def _corner_in_feet(line: str) -> list[float] | None:
    """A corner of which a place or both stand in feet and inches; a bare 0 needs no unit."""
    places = [place.strip() for place in re.split(r"[,;]", line)]
    found = [0.0 if place == "0" else lengths.read(place) for place in places]
    known = [_whole(place) for place in found if place is not None]
    return known if len(known) == len(found) == AXES else None


def _steps(path: str) -> list[str | int]:
    return [int(match[2]) if match[2] is not None else match[1] for match in _STEP.finditer(path)]


def _put(sheet: dict[str, Any], *, path: str, value: Any) -> None:
    """Set a value deep in the sheet, making the groups and lists on the way."""
    steps = _steps(path)
    at: Any = sheet
    for step, following in pairwise(steps):
        fresh: Any = [] if isinstance(following, int) else {}
        if isinstance(step, int):
            at.extend([None] * (step + 1 - len(at)))
            at[step] = fresh if at[step] is None else at[step]
            at = at[step]
        else:
            at = at.setdefault(step, fresh)
    last = steps[-1]
    if isinstance(last, int):
        at.extend([None] * (last + 1 - len(at)))
    at[last] = value


def _at(sheet: Mapping[str, Any], *, path: str) -> Any:
    at: Any = sheet
    for step in _steps(path):
        if isinstance(step, int):
            at = at[step] if isinstance(at, list) and step < len(at) else None
        else:
            at = at.get(step) if isinstance(at, Mapping) else None
    return at


def _in_feet(value: Any, *, box: Box, sheet: Mapping[str, Any]) -> str:
    """A length of an American sheet in feet and inches; empty for anything else, or when it is not exact."""
    if sheet.get("profile") != IN_FEET or box.unit != "mm" or not value or value == box.usual:
        return ""
    if box.kind == Kind.NUMBER and isinstance(value, int | float):
        return lengths.feet_and_inches(value) or ""
    corners = {Kind.POINT: [value], Kind.CORNERS: value}.get(box.kind, ())
    lines = [[lengths.feet_and_inches(place) for place in corner] for corner in corners]
    if not lines or any(place is None for line in lines for place in line):
        return ""
    return "\n".join(", ".join(str(place) for place in line) for line in lines)


def _shown(value: Any, *, box: Box, locale: Locale, profile_id: Any) -> str:
    """Leave a box empty where the sheet holds what it has unsaid; name a bar as its trade does."""
    if value is not None and value == box.usual and type(value) is not bool:
        return ""
    name = _bar_name(value, profile_id=profile_id) if box.kind == Kind.BAR else ""
    return name or _text(value, box=box, locale=locale)


def _text(value: Any, *, box: Box, locale: Locale) -> str:
    if value is None or value is False or value in ("", [], {}):
        return ""
    if box.kind in {Kind.NUMBER, Kind.BAR} and isinstance(value, int | float) and value is not True:
        number = Decimal(repr(value))
        return format_decimal(number, locale=locale, decimal_quantization=False, group_separator=False)
    if value is True:
        return "on"
    writers = {
        Kind.POINT: _pair,
        Kind.CORNERS: lambda corners: "\n".join(_pair(corner) for corner in corners),
        Kind.WORDS: " ".join,
        Kind.WHOLES: lambda steps: ", ".join(str(step) for step in steps),
    }
    return str(writers.get(box.kind, str)(value))


def _bar_name(size: Any, *, profile_id: Any) -> str:
    """The name of a size where the profile's trade names it by number; empty where it is its millimetres."""
    if profile_id not in get_args(types.ProfileId):
        return ""
    bar = load.profile(profile_id).bars.get(size) if type(size) is int else None
    return bar.name if bar is not None else ""


def _pair(corner: Sequence[float]) -> str:
    return ", ".join(str(_whole(step)) for step in corner)


def _whole(value: float) -> float:
    return int(value) if float(value).is_integer() else value
