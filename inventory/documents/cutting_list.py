"""The cutting list of the bench on paper: every pattern drawn to scale, with a box to tick for every bar."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from html import escape

from django.utils.translation import gettext as _

from estimates.documents import paper
from estimates.documents.paper import Column, Document, Figure, Row, Table
from inventory.calc import bar_picture
from inventory.documents import words
from inventory.queries.cutting.plans import PatternRow, PlanSheet
from projects.access.actor import Actor

MOST_BOXES = 200
"""Boxes to tick for one pattern; more bars are counted by strokes."""

_FILL = {"piece": "#ffffff", "kept": "#e3efe9", "scrap": "#565f69"}
_BAR_MM = 7
_BOX_MM, _BOXES_IN_A_ROW = 4.5, 10


def document(actor: Actor, *, sheet: PlanSheet, at: datetime) -> Document:
    """Return the list as a document; `at` is when it is printed."""
    plan = sheet.plan
    firms = plan.settings["cutting"]
    lead = _("Each cut loses %(blade)s mm; keep rests from %(keep)s mm on and label them.") % {
        "blade": firms["blade_mm"],
        "keep": firms["shortest_offcut_mm"],
    }
    longest = max((one.row.bar_length_mm for one in sheet.patterns), default=1)
    blocks: list[paper.Block] = [paper.Text(text=lead)]
    for size in sheet.sizes:
        if size.patterns:
            blocks.append(paper.Heading(text=size.patterns[0].row.material.name))
            blocks.append(_table(size.patterns, longest=longest))
    return Document(
        title=_("Cutting list %(number)s") % {"number": plan.number},
        block=words.block(actor, site=plan.site, number=plan.number, at=at),
        blocks=blocks,
        landscape=True,
    )


def pdf(actor: Actor, *, sheet: PlanSheet, at: datetime) -> bytes:
    """Return the list as PDF."""
    return paper.pdf(document(actor, sheet=sheet, at=at))


def _table(patterns: Iterable[PatternRow], *, longest: int) -> Table:
    rows = [
        Row(
            cells=[
                str(one.row.bars),
                _cut_from(one),
                _pieces(one),
                Figure(svg=_bar(one, longest=longest), height=_BAR_MM),
                Figure(svg=_boxes(one.row.bars), height=_rows_of(one.row.bars) * _BOX_MM),
            ]
        )
        for one in patterns
    ]
    columns = [
        Column(text=_("Bars"), right=True),
        Column(text=_("Cut from")),
        Column(text=_("Pieces, from left to right"), share=1),
        Column(text=_("To scale")),
        Column(text=_("Tick a bar")),
    ]
    return Table(columns=columns, rows=rows, size=9)


def _cut_from(one: PatternRow) -> str:
    lots = f": {', '.join(one.lots)}" if one.lots else ""
    return f"{one.row.bar_length_mm} mm\n{one.row.get_origin_display()}{lots}"


def _pieces(one: PatternRow) -> str:
    several = len({piece.need.slab_id for piece in one.pieces}) > 1
    said = [
        f"{piece.per_bar} × {piece.need.mark} {piece.need.length_mm} mm"
        + (f" ({piece.need.slab.name})" if several else "")
        for piece in one.pieces
    ]
    if one.row.rest_mm:
        rest = _("rest %(mm)s mm: keep") if one.row.rest_kept else _("rest %(mm)s mm: scrap")
        said.append(rest % {"mm": one.row.rest_mm})
    return "\n".join(said)


def _bar(one: PatternRow, *, longest: int) -> str:
    drawn = bar_picture.draw(
        [(piece.need.mark, piece.need.length_mm, piece.per_bar) for piece in one.pieces],
        bar_mm=one.row.bar_length_mm,
        rest_mm=one.row.rest_mm,
        kept=one.row.rest_kept,
        longest_mm=longest,
    )
    shapes = "".join(
        f'<rect x="{part.x}" y="3" width="{part.width}" height="20" fill="{_FILL[part.kind]}" '
        'stroke="#141c2b" stroke-width="0.8"/>'
        f'<text x="{part.middle}" y="16.5" font-size="9" text-anchor="middle">{escape(part.label)}</text>'
        for part in drawn.parts
    )
    return _svg(shapes, width=drawn.width, height=drawn.height)


def _rows_of(bars: int) -> int:
    return -(-min(bars, MOST_BOXES) // _BOXES_IN_A_ROW)


def _boxes(bars: int) -> str:
    number = min(bars, MOST_BOXES)
    shapes = "".join(
        f'<rect x="{column * 10 + 1}" y="{row * 10 + 1}" width="8" height="8" fill="none" stroke="#141c2b"/>'
        for row, column in (divmod(box, _BOXES_IN_A_ROW) for box in range(number))
    )
    return _svg(shapes, width=_BOXES_IN_A_ROW * 10, height=_rows_of(bars) * 10)


def _svg(shapes: str, *, width: int, height: int) -> str:
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}">{shapes}</svg>'
