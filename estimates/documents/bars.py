"""The bar bending schedule as a document: what is cut, bent and counted, with the figures of the shapes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final

from babel import Locale
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from estimates.calc.steel.bending import Row as Bar
from estimates.documents import cells, drawings, paper, title_block, trade, workbook
from estimates.documents.paper import Column, Document, Figure, Row, Table
from estimates.queries.bending import BendingSheet
from projects.access.actor import Actor
from projects.pages import figures

_MM_PER_UNIT: Final = 0.14
"""Size of a figure on paper, the same for all shapes, so that their letters are of one height [mm]."""


def document(actor: Actor, *, sheet: BendingSheet, at: datetime) -> Document:
    """Return the schedule as a document, landscape; `at` is when it was worked out."""
    locale = figures.locale_for(actor.locale)
    count = sheet.table.bars
    lead = ngettext("%(n)s bar, %(mass)s kg.", "%(n)s bars, %(mass)s kg.", count) % {
        "n": _number(count, locale=locale),
        "mass": _number(sheet.table.mass_kg, locale=locale),
    }
    said = _("Dimensions out to out, in mm. Figures are not to scale.")
    return Document(
        title=_("Bar bending schedule"),
        landscape=True,
        block=title_block.of_design(actor, design=sheet.design, edition=sheet.edition, as_of=at),
        blocks=(
            paper.Text(text=f"{lead} {said} {_editions(sheet)}".strip()),
            _marks(sheet, locale=locale),
            paper.Heading(text=_("Sums by size")),
            _sizes(sheet, locale=locale),
            paper.caution(),
        ),
    )


def file(actor: Actor, *, sheet: BendingSheet, kind: str, at: datetime) -> bytes:
    """Return the schedule as a file of a kind: pdf, xlsx or csv."""
    if kind == "pdf":
        return paper.pdf(document(actor, sheet=sheet, at=at))
    return xlsx(actor, sheet=sheet, at=at) if kind == "xlsx" else csv(actor, sheet=sheet)


def xlsx(actor: Actor, *, sheet: BendingSheet, at: datetime) -> bytes:
    """Return the schedule as a workbook: the marks, and the sums by size on a sheet of their own."""
    title = _("Bar bending schedule")
    book, table = workbook.new(title=title, at=at)
    workbook.put(table, 1, 1, title, font=workbook.TITLE)
    block = title_block.of_design(actor, design=sheet.design, edition=sheet.edition, as_of=at)
    for row, item in enumerate(block, start=2):
        workbook.put(table, row, 1, item.name, font=workbook.SOFT)
        workbook.put(table, row, 2, item.value)
    start = len(block) + 3
    names = head(sheet)
    workbook.heads(table, start, names, numbers=range(6, len(names) - 6))
    locale = figures.locale_for(actor.locale)
    for row, values in enumerate(rows(sheet, locale=locale), start=start + 1):
        for column, value in enumerate(values, start=1):
            workbook.put(table, row, column, value)
    workbook.widths(table, 16, 22, 10, 14, 12)
    table.freeze_panes = f"B{start + 1}"
    sums = book.create_sheet(_("Sums by size")[:31])
    workbook.heads(
        sums, 1, ("size", "grade", "bars", "length_m", "kg_per_m", "mass_kg", "source"), numbers=range(3, 7)
    )
    for row, size in enumerate(sheet.table.sizes, start=2):
        figures_of = (size.bars, _exact(size.length_m), _exact(size.mass_kg_per_m), _exact(size.mass_kg))
        for column, value in enumerate((size.size, size.grade, *figures_of, size.source), start=1):
            workbook.put(sums, row, column, value)
    workbook.widths(sums, 10, 10, 10, 12, 10, 12, 60)
    return workbook.content(book)


def csv(actor: Actor, *, sheet: BendingSheet) -> bytes:
    """Return the schedule as CSV; a mark of several lengths has a row for each."""
    locale = figures.locale_for(actor.locale)
    return cells.text(head=head(sheet), rows=rows(sheet, locale=locale)).encode()


def head(sheet: BendingSheet) -> list[str]:
    """Return the heads of the schedule in a file: names for programs, not translated."""
    names = ["mark", "member", "size", "catalogue", "shape", *sheet.table.letters, "per_member", "members"]
    return [
        *names,
        "number",
        "cutting_length_mm",
        "length_m",
        "mark_kg",
        "cutting_length_in_trade_units",
        "length_in_trade_units",
        "mark_mass_in_trade_units",
        "remark",
        "formula",
        "method",
        "source",
    ]


def rows(sheet: BendingSheet, *, locale: Locale) -> Iterator[list[object]]:
    """Return the schedule's rows for a file; a mark of several lengths has a row for each."""
    write = _Trade(sheet.profile, locale)
    for row in sheet.table.rows:
        for length, number in row.lengths:
            total_m = length * number / 1000
            yield [
                *(row.mark, row.member, row.size, row.catalogue, row.shape),
                *(row.dimensions.get(letter) for letter in sheet.table.letters),
                *(row.per_member, row.members, number, length, round(total_m, 3), round(row.mass_kg, 3)),
                *(trade.length(length, profile=sheet.profile), write(total_m, "m"), write(row.mass_kg, "kg")),
                *(row.remark, row.formula, row.method, row.source),
            ]


@dataclass(frozen=True)
class _Trade:
    """Writes lengths and masses of bars as the profile's trade does; empty where that is metric."""

    profile: str
    locale: Locale

    def __call__(self, value: float, unit: str) -> str:
        return trade.beside(value, unit=unit, profile=self.profile, key="steel", locale=self.locale)

    def under(self, value: float, unit: str) -> str:
        return trade.under(_number(value, locale=self.locale), self(value, unit))

    def length(self, millimetres: float) -> str:
        also = trade.length(millimetres, profile=self.profile)
        return trade.under(_number(millimetres, locale=self.locale), also)


def _editions(sheet: BendingSheet) -> str:
    named = sorted({row.catalogue for row in sheet.table.rows if row.catalogue})
    return _("Shapes after %s.") % ", ".join(named) if named else ""


def _marks(sheet: BendingSheet, *, locale: Locale) -> Table:
    columns = [
        Column(text=_("Mark")),
        Column(text=_("Member"), share=1),
        Column(text=_("Size")),
        Column(text=_("Shape")),
        *(Column(text=letter, right=True) for letter in sheet.table.letters),
        Column(text=_("Each"), right=True),
        Column(text=_("Members"), right=True),
        Column(text=_("Total"), right=True),
        Column(text=_("Cut to"), unit="mm", right=True),
        Column(text=_("Length"), unit="m", right=True),
        Column(text=_("Mass"), unit="kg", right=True),
    ]
    made = [Row(cells=_cells(row, sheet=sheet, locale=locale)) for row in sheet.table.rows]
    return Table(columns=columns, rows=made, size=8)


def _cells(row: Bar, *, sheet: BendingSheet, locale: Locale) -> list[str | Figure]:
    figure = sheet.figures.get(row.shape)
    drawn = (
        Figure(svg=drawings.bar(figure), height=figure.height * _MM_PER_UNIT, words=row.shape)
        if figure
        else row.shape
    )
    sides = (row.dimensions.get(letter) for letter in sheet.table.letters)
    counts = (row.per_member, row.members, row.total)
    write = _Trade(sheet.profile, locale)
    lengths = [
        write.length(length)
        if row.cutting_length_mm is not None
        else f"{_number(number, locale=locale)} × {write.length(length)}"
        for length, number in row.lengths
    ]
    return [
        row.mark,
        f"{row.member}\n{row.remark}" if row.remark else row.member,
        row.size,
        drawn,
        *("" if side is None else write.length(side) for side in sides),
        *(_number(count, locale=locale) for count in counts),
        "\n".join(lengths),
        write.under(row.total_length_m, "m"),
        write.under(row.mass_kg, "kg"),
    ]


def _sizes(sheet: BendingSheet, *, locale: Locale) -> Table:
    columns = [
        Column(text=_("Size")),
        Column(text=_("Grade")),
        Column(text=_("Bars"), right=True),
        Column(text=_("Length"), unit="m", right=True),
        Column(text=_("Mass per metre"), unit="kg/m", right=True),
        Column(text=_("Mass"), unit="kg", right=True),
        Column(text=_("By"), share=1),
    ]
    write = _Trade(sheet.profile, locale)
    made = [
        Row(
            cells=[
                size.size,
                size.grade,
                _number(size.bars, locale=locale),
                write.under(size.length_m, "m"),
                write.under(size.mass_kg_per_m, "kg/m"),
                write.under(size.mass_kg, "kg"),
                size.source,
            ]
        )
        for size in sheet.table.sizes
    ]
    total = [_number(sheet.table.bars, locale=locale), write.under(sheet.table.mass_kg, "kg")]
    made.append(Row(kind="total", cells=[_("All sizes"), "", total[0], "", "", total[1], ""]))
    return Table(columns=columns, rows=made)


def _number(value: float, *, locale: Locale) -> str:
    return figures.derivation_number(value, locale=locale)


def _exact(value: float) -> Decimal:
    return Decimal(repr(round(value, 6)))
