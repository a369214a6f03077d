"""The design form as the template draws it: every box with what was typed and what is wrong with it."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from estimates.pages import design_typing
from estimates.pages.boxes.kinds import Box, Kind, Label, Rows
from estimates.pages.boxes.layout import LAYOUT
from projects.errors import Fault

SPARE_ROWS = 1
MORE_ROWS = 5
MOST_BOXES = 900
"""A browser may send 1,000 fields; a larger design is entered as a sheet."""


@dataclass(frozen=True)
class BoxView:
    """One box with its text and its faults."""

    path: str
    box: Box
    text: str
    faults: tuple[str, ...]
    alone: bool

    @property
    def id(self) -> str:
        """Its id on the page, to which the list of faults leads."""
        return id_of(self.path)

    @property
    def is_long(self) -> bool:
        """Whether it is a box of several lines."""
        return self.box.kind in {Kind.LONG, Kind.CORNERS}

    @property
    def is_choice(self) -> bool:
        """Whether it is chosen from a list."""
        return self.box.kind in {Kind.CHOICE, Kind.WHOLE_CHOICE}

    @property
    def is_check(self) -> bool:
        """Whether it is ticked."""
        return self.box.kind == Kind.CHECK

    @property
    def lines(self) -> int:
        """Height of a box of several lines."""
        return min(max(3, self.text.count("\n") + 2), 14)


@dataclass(frozen=True)
class RowView:
    """One row of a table of the form; its rare boxes are folded away until one is used."""

    boxes: tuple[BoxView, ...]

    @property
    def usual(self) -> list[BoxView]:
        """The boxes that every row has filled."""
        return [view for view in self.boxes if not view.box.rare]

    @property
    def rare(self) -> list[BoxView]:
        """The boxes that few rows need."""
        return [view for view in self.boxes if view.box.rare]

    @property
    def is_open(self) -> bool:
        """Whether a rare box holds something or is at fault."""
        return any(view.text or view.faults for view in self.rare)


@dataclass(frozen=True)
class PartView:
    """A part of the form: its boxes, or its rows of boxes."""

    title: Label
    hint: Label
    only: tuple[str, ...]
    path: str
    one: Label
    boxes: tuple[BoxView, ...]
    rows: tuple[RowView, ...]
    folded: bool = False

    @property
    def is_used(self) -> bool:
        """Whether a row holds something, is at fault, or was asked for."""
        filled = any(view.text or view.faults for row in self.rows for view in row.boxes)
        return filled or len(self.rows) > SPARE_ROWS


@dataclass(frozen=True)
class FaultView:
    """One line of the list of faults, with the box that it leads to."""

    target: str
    label: str
    message: str


@dataclass(frozen=True)
class FormView:
    """The whole form."""

    parts: tuple[PartView, ...]
    faults: tuple[FaultView, ...]

    @property
    def is_too_large(self) -> bool:
        """Whether a browser might not send all of it."""
        count = sum(len(part.boxes) + sum(len(row.boxes) for row in part.rows) for part in self.parts)
        return count > MOST_BOXES


def id_of(path: str) -> str:
    """Return the id of a box on the page."""
    return "box-" + re.sub(r"[^A-Za-z0-9]+", "-", path).strip("-")


def view(typed: Mapping[str, str], *, faults: Iterable[Fault] = (), more: str = "") -> FormView:
    """Lay out closed-up boxes with their faults; `more` names a table that gets further empty rows."""
    layout = _layout(typed, more=more)
    paths = {
        path for _part, boxes, rows in layout for path, _box in (*boxes, *(b for row in rows for b in row))
    }
    at, listed = _placed(faults, paths=paths)
    parts = tuple(
        _part_view(part, boxes=boxes, rows=rows, typed=typed, at=at) for part, boxes, rows in layout
    )
    return FormView(parts=parts, faults=listed)


Boxes = tuple[tuple[str, Box], ...]


def _layout(typed: Mapping[str, str], *, more: str) -> list[tuple[Any, Boxes, tuple[Boxes, ...]]]:
    found: list[tuple[Any, Boxes, tuple[Boxes, ...]]] = []
    for part in LAYOUT:
        if isinstance(part, Rows):
            spare = MORE_ROWS if part.path == more else SPARE_ROWS
            count = len(design_typing.typed_rows(typed, rows=part)) + spare
            rows = tuple(
                tuple((f"{part.path}[{number}].{box.path}", box) for box in part.boxes)
                for number in range(count)
            )
            found.append((part, (), rows))
        else:
            found.append((part, tuple((box.path, box) for box in part.boxes), ()))
    return found


def _placed(
    faults: Iterable[Fault], *, paths: set[str]
) -> tuple[dict[str, list[str]], tuple[FaultView, ...]]:
    """Faults by box, and the list of all; of two faults of one box the first stands."""
    at: dict[str, list[str]] = defaultdict(list)
    listed = []
    for fault in faults:
        box = design_typing.box_of(fault.path, paths=paths)
        if box is not None:
            at[box].append(fault.message)
        listed.append(FaultView(target=id_of(box) if box else "", label=fault.path, message=fault.message))
    return at, tuple(listed)


def _part_view(
    part: Any,
    *,
    boxes: Boxes,
    rows: tuple[Boxes, ...],
    typed: Mapping[str, str],
    at: Mapping[str, list[str]],
) -> PartView:
    def seen(path: str, box: Box, *, alone: bool) -> BoxView:
        return BoxView(
            path=path, box=box, text=typed.get(path, ""), faults=tuple(at.get(path, ())), alone=alone
        )

    return PartView(
        title=part.title,
        hint=part.hint,
        only=getattr(part, "only", ()),
        path=getattr(part, "path", ""),
        one=getattr(part, "one", ""),
        folded=getattr(part, "folded", False),
        boxes=tuple(seen(path, box, alone=True) for path, box in boxes),
        rows=tuple(RowView(tuple(seen(path, box, alone=False) for path, box in row)) for row in rows),
    )
