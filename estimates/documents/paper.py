"""A document as blocks, and its PDF: words and figures go to the typesetter as data, never as markup."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any, Final, Literal

import typst
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from projects.pages.figures import NBSP

FOLDER: Final = Path(__file__).parent / "typst"
BLANK: Final = "–"


@dataclass(frozen=True, kw_only=True)
class Field:
    """One field of the title block; `span` says over how many of its four columns it goes."""

    name: str
    value: str
    span: int = 1


@dataclass(frozen=True, kw_only=True)
class Heading:
    """A heading of a part."""

    text: str
    kind: Literal["heading"] = "heading"


@dataclass(frozen=True, kw_only=True)
class Text:
    """A paragraph; a soft one is set small."""

    text: str
    soft: bool = False
    kind: Literal["text"] = "text"


@dataclass(frozen=True, kw_only=True)
class Notice:
    """A caution."""

    title: str
    text: str
    kind: Literal["notice"] = "notice"


@dataclass(frozen=True, kw_only=True)
class Column:
    """A column: its head and unit, whether it holds figures, its share of the width (0: as needed)."""

    text: str
    unit: str = ""
    right: bool = False
    share: float = 0


@dataclass(frozen=True, kw_only=True)
class Figure:
    """A small drawing in a cell, `height` mm high, with words under it."""

    svg: str
    height: float
    words: str = ""


@dataclass(frozen=True, kw_only=True)
class Row:
    """A row of a table: cells, or the one cell of a group's title."""

    cells: Sequence[str | Figure]
    kind: Literal["row", "group", "total"] = "row"


@dataclass(frozen=True, kw_only=True)
class Table:
    """A table; `size` is that of its letters in points."""

    columns: Sequence[Column]
    rows: Sequence[Row]
    size: float = 8.5
    kind: Literal["table"] = "table"


@dataclass(frozen=True, kw_only=True)
class Working:
    """How one quantity came about, so that anyone can redo it by hand."""

    title: str
    result: str
    formula: str
    inputs: Sequence[str]
    source: str = ""


@dataclass(frozen=True, kw_only=True)
class Workings:
    """Workings in two columns."""

    items: Sequence[Working]
    kind: Literal["workings"] = "workings"


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """A drawing over the width of the page; a tall one is set `height` mm high instead."""

    svg: str
    caption: str
    height: float | None = None
    kind: Literal["figure"] = "figure"


@dataclass(frozen=True, kw_only=True)
class Break:
    """A new page."""

    kind: Literal["break"] = "break"


Block = Heading | Text | Notice | Table | Workings | Drawing | Break


@dataclass(frozen=True, kw_only=True)
class Document:
    """A document: its title, the fields of its title block, its blocks from top to bottom."""

    title: str
    block: Sequence[Field]
    blocks: Sequence[Block] = field(default_factory=tuple)
    landscape: bool = False


def pdf(document: Document) -> bytes:
    """Return the document as PDF; the same document gives the same bytes."""
    data: dict[str, Any] = asdict(document)
    data["words"] = {"page": _("Page"), "of": _("of")}
    data["lang"] = (get_language() or "en").split("-", 1)[0]
    text = json.dumps(data, ensure_ascii=False)
    found: bytes = typst.compile(
        FOLDER / "document.typ",
        root=FOLDER,
        sys_inputs={"data": text},
        ignore_system_fonts=True,
        format="pdf",
    )
    return found


def pictures(document: Document) -> list[bytes]:
    """Return the pages as PNG, to look at."""
    data: dict[str, Any] = asdict(document) | {"words": {"page": _("Page"), "of": _("of")}, "lang": "en"}
    found = typst.compile(
        FOLDER / "document.typ",
        root=FOLDER,
        sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
        ignore_system_fonts=True,
        format="png",
        ppi=90,
    )
    return list(found) if isinstance(found, list) else [found]


def caution() -> Notice:
    """Return the caution that stands on every document that shows quantities or checks."""
    return Notice(
        title=_("For ordering and cost control only"),
        text=_(
            "Nothing here checks strength. The structure, the formwork with its props, and the day of "
            "stripping are decided by the licensed engineer under the local code. Wet concrete and cement "
            "burn skin and eyes; falling formwork and falls from it kill: follow the safety rules of the "
            "place."
        ),
    )


def joined(*parts: str) -> str:
    """Return the parts that are there, parted by a blank that does not break."""
    return NBSP.join(part for part in parts if part)
