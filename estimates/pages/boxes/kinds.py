"""What a box of the design form is: it stands for one field of the design sheet and is named by its path."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import get_args

from django.utils.functional import Promise

Label = str | Promise
Choices = tuple[tuple[str, Label], ...]


class Kind(StrEnum):
    """How what is typed in a box is read."""

    TEXT = "text"
    LONG = "long"
    NUMBER = "number"
    DATE = "date"
    BAR = "bar"
    CHOICE = "choice"
    WHOLE_CHOICE = "whole choice"
    CHECK = "check"
    POINT = "point"
    CORNERS = "corners"
    WORDS = "words"
    WHOLES = "wholes"


@dataclass(frozen=True, kw_only=True)
class Box:
    """One box: `path` is its place in the sheet, in a row the place below the row.

    A `rare` box of a row is folded away until it is used. `needed_with` names the kind of mix for which
    alone a box is needed. What the sheet has when it says nothing is `usual`; the box then stays empty.
    """

    path: str
    label: Label
    kind: Kind = Kind.TEXT
    unit: str = ""
    hint: Label = ""
    choices: Choices = ()
    needed: bool = True
    needed_with: str = ""
    rare: bool = False
    usual: object = None


@dataclass(frozen=True, kw_only=True)
class Rows:
    """A table of the form: a list of the sheet with the same boxes in each row."""

    path: str
    title: Label
    hint: Label
    one: Label
    boxes: tuple[Box, ...]
    folded: bool = False
    """Whether the table is folded away until a row of it is used."""


@dataclass(frozen=True, kw_only=True)
class Part:
    """A titled part of the form; `only` names the kinds of mix for which it counts, all when empty."""

    title: Label
    boxes: tuple[Box, ...]
    hint: Label = ""
    only: tuple[str, ...] = ()


def mm(path: str, label: Label, *, hint: Label = "", needed: bool = True) -> Box:
    """Return a box for a length [mm]."""
    return Box(path=path, label=label, kind=Kind.NUMBER, unit="mm", hint=hint, needed=needed)


def point(path: str, label: Label) -> Box:
    """Return a box for a place in plan [mm]."""
    return Box(path=path, label=label, kind=Kind.POINT, unit="mm")


def level(path: str, label: Label, *, hint: Label = "") -> Box:
    """Return a rare box for a level [mm] that is 0 when left empty."""
    return Box(
        path=path, label=label, kind=Kind.NUMBER, unit="mm", hint=hint, needed=False, rare=True, usual=0
    )


def number(path: str, label: Label, *, unit: str = "", hint: Label = "", needed: bool = True) -> Box:
    """Return a box for a figure."""
    return Box(path=path, label=label, kind=Kind.NUMBER, unit=unit, hint=hint, needed=needed)


def choice(path: str, label: Label, *, choices: Choices, needed: bool = True, hint: Label = "") -> Box:
    """Return a box that is chosen from a list."""
    return Box(path=path, label=label, kind=Kind.CHOICE, choices=choices, needed=needed, hint=hint)


def methods(path: str, label: Label, *, of: object) -> Box:
    """Return a box for a named method; empty for the profile's own."""
    names = tuple((name, name.replace("_", " ")) for name in get_args(of))
    return choice(path, label, choices=names, needed=False)
