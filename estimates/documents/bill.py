"""The bill of quantities as a document: every line with its four numbers, and how each came about."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from babel import Locale
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from estimates.calc.drawing import slab
from estimates.calc.drawing.parts import written
from estimates.documents import cells, drawings, paper, title_block, trade, workbook
from estimates.documents.paper import Block, Column, Document, Row, Table, Working
from estimates.queries import designs, findings, lines
from estimates.queries.bills import BillSheet
from estimates.queries.lines import LineRow
from estimates.standards import load
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.pages import figures

GROUPS: Final = {
    lines.CONCRETE: gettext_lazy("Concrete and what it is made of"),
    lines.FORMWORK: gettext_lazy("Formwork"),
    lines.STEEL: gettext_lazy("Steel"),
    lines.CONSUMABLES: gettext_lazy("Consumables"),
    lines.CURING: gettext_lazy("Curing"),
    lines.WATERPROOFING: gettext_lazy("Waterproofing"),
    lines.PLANT: gettext_lazy("Plant"),
    lines.CREW: gettext_lazy("Crew"),
}
WEIGHTS: Final = {
    findings.STOP: gettext_lazy("■ Stop"),
    findings.WARN: gettext_lazy("▲ Warning"),
    findings.NOTE: gettext_lazy("– Note"),
}
PARTS_OF_A_MINOR_UNIT: Final = 10_000


@dataclass(frozen=True)
class _Writer:
    """Writes the firm's figures; `money` says whether the reader may see amounts."""

    actor: Actor
    locale: Locale
    money: bool
    profile: str

    def quantity(self, units: int | None, *, row: LineRow) -> str:
        if units is None:
            return ""
        return paper.joined(
            figures.figure(units, unit=row.shown_as, locale=self.locale),
            str(figures.stock_unit(row.shown_as).shown),
        )

    def net(self, row: LineRow) -> str:
        if row.bought:
            return trade.under(self.quantity(row.net, row=row), self.also(row))
        metric = paper.joined(figures.derivation_number(row.value, locale=self.locale), row.unit)
        return trade.under(metric, self.also(row))

    def also(self, row: LineRow) -> str:
        return trade.beside(row.value, unit=row.unit, profile=self.profile, key=row.key, locale=self.locale)

    def order(self, row: LineRow) -> str:
        if row.packs is None or row.order is None:
            return self.quantity(row.order, row=row)
        counted = figures.packs(row.order, pack=row.pack, content=row.pack_content, locale=self.locale)
        surplus = _("%s over") % self.quantity(row.surplus, row=row)
        return f"{counted}\n{surplus}"

    def rate(self, row: LineRow) -> str:
        if row.rate is None:
            return ""
        figure = figures.major(row.rate, currency=self.actor.currency) / PARTS_OF_A_MINOR_UNIT
        places = max(2, -int(figure.normalize().as_tuple().exponent))
        return paper.joined(
            figures.decimal_text(figure, places=places, locale=self.locale), "/", row.rate_unit
        )

    def amount(self, minor: int | None) -> str:
        if minor is None:
            return ""
        return figures.money_figure(minor, currency=self.actor.currency, locale=self.locale)


def document(actor: Actor, *, sheet: BillSheet) -> Document:
    """Return the bill as a document; amounts are left out for a reader who may not see money."""
    bill = sheet.bill
    write = _writer(actor, profile=bill.profile)
    return Document(
        title=_("Bill of quantities %s") % bill.number,
        block=title_block.of_design(actor, design=bill.design, edition=bill.edition, as_of=bill.issued_at),
        blocks=(
            paper.Text(text=_lead(sheet, write=write)),
            _lines(sheet, write=write),
            *_checks(sheet),
            *_plan(sheet),
            paper.Break(),
            paper.Heading(text=_("How each quantity came about")),
            paper.Workings(items=[_working(row, write=write) for row in sheet.rows]),
        ),
    )


def xlsx(actor: Actor, *, sheet: BillSheet) -> bytes:
    """Return the bill as a workbook: figures as figures, texts as texts."""
    bill = sheet.bill
    book, table = workbook.new(title=_("Bill of quantities"), at=bill.issued_at)
    workbook.put(table, 1, 1, _("Bill of quantities %s") % bill.number, font=workbook.TITLE)
    block = title_block.of_design(actor, design=bill.design, edition=bill.edition, as_of=bill.issued_at)
    for row, item in enumerate(block, start=2):
        workbook.put(table, row, 1, item.name, font=workbook.SOFT)
        workbook.put(table, row, 2, item.value)
    start = len(block) + 3
    names = head(actor)
    workbook.heads(table, start, names, numbers=range(4, 8))
    for row, values in enumerate(rows(actor, sheet=sheet), start=start + 1):
        for column, value in enumerate(values, start=1):
            workbook.put(table, row, column, value)
    last = start + len(sheet.rows) + 2
    if actor.can(Permission.SEE_MONEY):
        workbook.put(table, last, 3, _("Total of net and allowance at these rates"), font=workbook.HEAD)
        total = figures.major(bill.total_minor, currency=actor.currency)
        workbook.put(table, last, names.index("amount") + 1, total, font=workbook.HEAD)
    workbook.put(table, last + 2, 1, paper.caution().text, font=workbook.SOFT)
    workbook.widths(table, 24, 18, 44, 12, 12, 12, 12, 8, 10, 12, 22, 60, 40, 40, 12, 10, 14, 10)
    table.freeze_panes = f"D{start + 1}"
    return workbook.content(book)


def file(actor: Actor, *, sheet: BillSheet, kind: str) -> bytes:
    """Return the bill as a file of a kind: pdf, xlsx or csv."""
    if kind == "pdf":
        return paper.pdf(document(actor, sheet=sheet))
    return xlsx(actor, sheet=sheet) if kind == "xlsx" else csv(actor, sheet=sheet)


def csv(actor: Actor, *, sheet: BillSheet) -> bytes:
    """Return the bill's lines as CSV."""
    return cells.text(head=head(actor), rows=rows(actor, sheet=sheet)).encode()


def head(actor: Actor) -> list[str]:
    """Return the heads of the bill's lines in a file: names for programs, not translated."""
    names = ["key", "member", "title", "net", "allowance", "order", "surplus", "unit", "packs", "pack"]
    names += ["in_trade_units", "formula", "method", "source"]
    return names + (["rate", "rate_per", "amount", "currency"] if actor.can(Permission.SEE_MONEY) else [])


def rows(actor: Actor, *, sheet: BillSheet) -> Iterator[list[object]]:
    """Return the bill's lines for a file, in shown units and whole currency units."""
    write = _writer(actor, profile=sheet.bill.profile)
    for row in sheet.rows:
        yield [*_plain(row, also=write.also(row)), *(_money(row, actor=actor) if write.money else ())]


def _plain(row: LineRow, *, also: str) -> list[object]:
    kept = row.working
    named: list[object] = [also, kept["formula"], kept["method"], kept["source"]]
    if not row.bought:
        return [row.key, row.member, row.title, row.value, None, None, None, row.unit, None, "", *named]
    shown = figures.stock_unit(row.shown_as)
    units = (row.net, row.allowance, row.order, row.surplus)
    amounts = [None if amount is None else Decimal(amount) / shown.scale for amount in units]
    return [row.key, row.member, row.title, *amounts, str(shown.shown), row.packs, row.pack, *named]


def _money(row: LineRow, *, actor: Actor) -> list[object]:
    if row.rate is None or row.amount_minor is None:
        return [None, "", None, ""]
    rate = figures.major(row.rate, currency=actor.currency) / PARTS_OF_A_MINOR_UNIT
    amount = figures.major(row.amount_minor, currency=actor.currency)
    return [rate.normalize(), row.rate_unit, amount, actor.currency]


def _writer(actor: Actor, *, profile: str) -> _Writer:
    return _Writer(
        actor=actor,
        locale=figures.locale_for(actor.locale),
        money=actor.can(Permission.SEE_MONEY),
        profile=profile,
    )


def _lead(sheet: BillSheet, *, write: _Writer) -> str:
    volume = figures.figure(sheet.bill.volume_cm3, unit="cm3", locale=write.locale)
    area = figures.derivation_number(sheet.area_m2, locale=write.locale)
    said = _("%(volume)s m³ of concrete over %(area)s m².") % {"volume": volume, "area": area}
    sizes = ((sheet.bill.volume_cm3 / 1_000_000, "m³"), (sheet.area_m2, "m²"))
    also = [
        trade.beside(value, unit=unit, profile=write.profile, locale=write.locale) for value, unit in sizes
    ]
    if any(also):
        said = f"{said} ({', '.join(also)})"
    if not write.money:
        return said
    currency = write.actor.currency
    money = {
        name: figures.money(minor, currency=currency, locale=write.locale)
        for name, minor in (
            ("total", sheet.bill.total_minor),
            ("per_m2", sheet.per_m2_minor),
            ("per_m3", sheet.per_m3_minor),
        )
    }
    return (
        f"{said} "
        + _("Budget %(total)s: %(per_m2)s for each m² of slab, %(per_m3)s for each m³ of concrete.") % money
    )


def _lines(sheet: BillSheet, *, write: _Writer) -> Table:
    columns = [
        Column(text=_("Line"), share=1),
        Column(text=_("Net"), right=True),
        Column(text=_("Allowance"), right=True),
        Column(text=_("Order in packs"), unit=_("and its surplus"), right=True),
    ]
    if write.money:
        columns.append(Column(text=_("Rate"), right=True))
        columns.append(Column(text=_("Amount"), unit=write.actor.currency, right=True))
    made: list[Row] = []
    for group, members in sheet.groups:
        made.append(Row(kind="group", cells=[str(GROUPS.get(group, group))]))
        made += [Row(cells=_cells(row, write=write)) for row in members]
    if write.money:
        words = _("Total of net and allowance at these rates")
        made.append(Row(kind="total", cells=[words, "", "", "", "", write.amount(sheet.bill.total_minor)]))
    return Table(columns=columns, rows=made)


def _cells(row: LineRow, *, write: _Writer) -> list[str]:
    found = [_(row.title), write.net(row), write.quantity(row.allowance, row=row), write.order(row)]
    return [*found, write.rate(row), write.amount(row.amount_minor)] if write.money else found


def _checks(sheet: BillSheet) -> list[Block]:
    found: list[Block] = [paper.Heading(text=_("Checks when it was issued")), paper.caution()]
    kept = findings.frozen(sheet.bill.findings)
    if kept:
        columns = [
            Column(text=_("Finding"), share=3),
            Column(text=_("Weight")),
            Column(text=_("By"), share=2),
        ]
        weighed = [Row(cells=[row.text, str(WEIGHTS[row.severity]), row.source]) for row in kept]
        found.append(Table(columns=columns, rows=weighed, size=8))
    else:
        found.append(paper.Text(text=_("The checks found nothing to ask.")))
    if sheet.bill.reason:
        found += [
            paper.Heading(text=_("Reason for issuing it all the same")),
            paper.Text(text=sheet.bill.reason),
        ]
    return found


def _plan(sheet: BillSheet) -> list[Block]:
    design = designs.sheet_of(sheet.bill.design)
    feet = slab.in_feet(design)
    units = (
        _("Plan, dimensions in feet and inches to the nearest eighth.")
        if feet
        else _("Plan, dimensions in mm.")
    )
    said = _("Slab %s thick; beams below it are dashed, their depths include the slab.")
    caption = f"{units} {said % written(design.thickness_mm, feet=feet)}"
    return [
        paper.Break(),
        paper.Heading(text=_("The slab")),
        drawings.plan(design, profile=load.profile(design.profile), caption=caption),
    ]


def _working(row: LineRow, *, write: _Writer) -> Working:
    kept: Mapping[str, Any] = row.working
    inputs = [_input(name, value, write=write) for name, value in kept["inputs"].items()]
    return Working(
        title=_(row.title),
        result=paper.joined(figures.derivation_number(row.value, locale=write.locale), row.unit),
        formula=kept["formula"],
        inputs=inputs,
        source="; ".join(part for part in (kept["method"], kept["source"]) if part),
    )


def _input(name: str, value: Mapping[str, Any], *, write: _Writer) -> str:
    figure = figures.derivation_number(value["value"], locale=write.locale)
    unit = "" if value["unit"] == "1" else value["unit"]
    return f"{name} = {paper.joined(figure, unit)}" + (f" ({value['source']})" if value["source"] else "")
