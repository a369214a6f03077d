"""Catalogues of bar shapes: data files of one edition each, read, checked and frozen."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from estimates.standards.values import Cited, Provenance, StandardsError

FOLDER: Final = Path(__file__).parent / "shapes"
WORDS: Final = "is2502-1963"
"""The catalogue of the trade's own words for plain shapes, which every sheet may use."""

_LETTER: Final = re.compile(r"\b[A-KR]\b")
_NAMED: Final[Mapping[str, str]] = {"{stirrup}": "AB", "{cranks}": "D"}
_CITATION: Final = frozenset({"source", "clause", "provenance", "note"})
_FORM: Final = frozenset({"length", "also", "when", "words"})
_SHAPE: Final = frozenset(
    {"code", "title", "forms", "free", "least", "legs", "bends", "spans", "steep", "units", "radius"}
    | {"drawn_radius", "heading", "same"}
)
_BEND: Final = frozenset(
    {"size_mm", "r", "P", "P10", "between", "straight_above"}
    | {"hook_90", "hook_180", "stirrup_r", "stirrup_90", "stirrup_135"}
)
_HEAD: Final = frozenset({"id", "title", "edition", "rounding"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One way in which a shape's length is stated.

    `length` is a formula in the letters of the shape, d (size), r (scheduling radius) and pi; what stands in
    braces is a named method. `letters` are those it needs, `also` those that only the figure has. It applies
    where `when`, worked out, is above 0, or always when that is empty; `words` say what is special about it.
    """

    length: str
    letters: frozenset[str]
    also: frozenset[str] = frozenset()
    when: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """A part of a figure: a straight of `drawn` units under `angle`, or an arc of that radius turning so far.

    Angles are degrees, counter-clockwise, 0 to the right; a positive turn is to the left. The letter stands
    on the outer side, or on the inner one where the file writes it with a minus.
    """

    letter: str
    drawn: float
    angle: float
    arc: bool = False
    inside: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A dimension of a figure that is no leg: between two of its corners, or a name at one of them."""

    letter: str
    kind: str
    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape(Cited):
    """One shape: its forms of the length, its least dimensions, its figure.

    `least` is an expression for each letter that has a least dimension. `bends` are the true angles between
    the legs [°]; `steep`, the sine of its slope where the length is approximate only. `free` is the dimension
    that takes the tolerances; the letters of `same` are equal.
    """

    code: str
    title: str
    forms: tuple[Form, ...]
    free: str = ""
    least: Mapping[str, str] = field(default_factory=dict)
    legs: tuple[Leg, ...] = ()
    bends: tuple[float, ...] = ()
    spans: tuple[Span, ...] = ()
    steep: str = ""
    same: str = ""
    units: Mapping[str, str] = field(default_factory=dict)
    radius: str = ""
    drawn_radius: float = 0.0
    heading: float | None = None

    @property
    def letters(self) -> frozenset[str]:
        """Every letter that the shape may have."""
        return frozenset().union(*(form.letters | form.also for form in self.forms))

    @property
    def right_angled(self) -> bool:
        """Whether it has straight legs only, and bends of a right angle between them."""
        straight = all(leg.letter and not leg.arc for leg in self.legs)
        return bool(self.legs and self.bends) and straight and set(self.bends) == {90} and not self.radius


@dataclass(frozen=True, slots=True, kw_only=True)
class BendRow(Cited):
    """What the bends of one size take [mm], by name, as "r" or "P"."""

    size_mm: int
    values: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue(Cited):
    """Shapes of one edition, the bends of its sizes, and how its lengths are rounded."""

    id: str
    title: str
    edition: str
    rounding: str
    shapes: Mapping[str, Shape]
    bends: Mapping[int, BendRow]


def known() -> tuple[str, ...]:
    """The ids of the catalogues, the plain words first."""
    found = sorted(file.stem for file in FOLDER.glob("*.toml"))
    return (WORDS, *(name for name in found if name != WORDS))


@cache
def load(catalogue_id: str) -> Catalogue:
    """Loads a catalogue once and keeps it.

    Source: the file of the folder `shapes` that bears its id.

    Args:
        catalogue_id: id of the catalogue, as "bs8666-2005".

    Returns:
        The frozen catalogue.

    Raises:
        StandardsError: no such catalogue, or a row breaks a rule of the folder's README.

    >>> load("bs8666-2005").shapes["21"].forms[0].length
    'A + B + C - r - 2 * d'
    """
    file = FOLDER / f"{catalogue_id}.toml"
    if not file.exists():
        message = f"no catalogue of shapes {catalogue_id!r}; known: {', '.join(known())}"
        raise StandardsError(message)
    return parse(file.read_text(encoding="utf-8"), name=file.name)


def parse(text: str, *, name: str) -> Catalogue:
    """Reads and checks the text of a catalogue.

    Source: derived: the rules are those of the standards folder's README.

    Args:
        text: the file's text.
        name: the file's name, for messages.

    Returns:
        The frozen catalogue.

    Raises:
        StandardsError: names file and row of every fault.
    """
    tables = tomllib.loads(text)
    faults: list[str] = []
    head = tables["catalogue"]
    cited = _cited(head, where=f"{name}: catalogue", known=_HEAD, faults=faults)
    bends = [_bend(row, name=name, faults=faults) for row in tables.get("bend", [])]
    shapes = [_shape(row, name=name, faults=faults) for row in tables["shape"]]
    for kind, keys in (("bend", [str(b.size_mm) for b in bends]), ("shape", [s.code for s in shapes])):
        faults += [f"{name}: {kind} {key} stands twice" for key in sorted(set(keys)) if keys.count(key) > 1]
    if faults:
        raise StandardsError("\n".join(faults))
    return Catalogue(
        **cited,
        **{key: head[key] for key in _HEAD},
        shapes=MappingProxyType({shape.code: shape for shape in shapes}),
        bends=MappingProxyType({bend.size_mm: bend for bend in bends}),
    )


def _bend(row: Mapping[str, Any], *, name: str, faults: list[str]) -> BendRow:
    where = f"{name}: bend {row.get('size_mm', '?')}"
    cited = _cited(row, where=where, known=_BEND, faults=faults)
    values = {key: float(row[key]) for key in row if key in _BEND - {"size_mm"}}
    return BendRow(size_mm=row["size_mm"], values=MappingProxyType(values), **cited)


def _shape(row: Mapping[str, Any], *, name: str, faults: list[str]) -> Shape:
    where = f"{name}: shape {row.get('code', '?')}"
    cited = _cited(row, where=where, known=_SHAPE | _FORM, faults=faults)
    forms = row.get("forms") or [{key: row[key] for key in _FORM & set(row)}]
    faults += [f"{where}: a form lacks its length" for form in forms if not form.get("length")]
    unknown = {key for form in forms for key in set(form) - _FORM}
    faults += [f"{where}: does not know {key}" for key in sorted(unknown)]
    kept = {
        key: row[key] for key in ("free", "steep", "same", "radius", "drawn_radius", "heading") if key in row
    }
    return Shape(
        code=row["code"],
        title=row["title"],
        forms=tuple(_form(form) for form in forms),
        least=MappingProxyType(dict(row.get("least", {}))),
        legs=tuple(_leg(leg) for leg in row.get("legs", [])),
        bends=tuple(float(angle) for angle in row.get("bends", [])),
        spans=tuple(Span(letter=a, kind=b, start=c, end=d) for a, b, c, d in row.get("spans", [])),
        units=MappingProxyType(dict(row.get("units", {}))),
        **kept,
        **cited,
    )


def _form(row: Mapping[str, Any]) -> Form:
    length = str(row.get("length", ""))
    letters = set(_LETTER.findall(length)).union(*(_NAMED[name] for name in _NAMED if name in length))
    return Form(
        length=length,
        letters=frozenset(letters),
        also=frozenset(row.get("also", "")),
        when=str(row.get("when", "")),
        words=str(row.get("words", "")),
    )


def _leg(row: list[Any]) -> Leg:
    letter, inside = str(row[0]).removeprefix("-"), str(row[0]).startswith("-")
    return Leg(letter=letter, drawn=float(row[1]), angle=float(row[2]), arc=row[3:] == ["arc"], inside=inside)


def _cited(row: Mapping[str, Any], *, where: str, known: frozenset[str], faults: list[str]) -> dict[str, Any]:
    provenance = row.get("provenance")
    unknown = sorted(set(row) - known - _CITATION)
    faults += [f"{where}: lacks its source"] if not row.get("source") else []
    if provenance not in set(Provenance):
        faults.append(f"{where}: provenance {provenance!r} is not one of {', '.join(Provenance)}")
        provenance = Provenance.MEMORY
    faults += [f"{where}: does not know {', '.join(unknown)}"] if unknown else []
    text = {"clause": row.get("clause", ""), "note": row.get("note", "")}
    return {"source": row.get("source", ""), "provenance": Provenance(provenance), **text}
