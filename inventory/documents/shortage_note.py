"""The shortage note: what the carrier takes back or did not bring, signed before the vehicle leaves."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

from babel import Locale
from django.utils import formats, timezone
from django.utils.translation import gettext as _

from estimates.documents import paper
from estimates.documents.paper import BLANK, Column, Document, Field, Row, Table
from inventory.queries.deliveries import ReceiptSheet, SheetLine
from projects.access.actor import Actor
from projects.pages import figures

SIGNED = "_" * 28
"""A line to sign on."""


def pdf(actor: Actor, *, sheet: ReceiptSheet, at: datetime) -> bytes:
    """Return the note as PDF."""
    return paper.pdf(document(actor, sheet=sheet, at=at))


def document(actor: Actor, *, sheet: ReceiptSheet, at: datetime) -> Document:
    """Return the note as a document: facts of the delivery, each line at fault, and where both sides sign."""
    locale = figures.locale_for(actor.locale)
    receipt = sheet.receipt
    return Document(
        title=_("Shortage and rejection note"),
        block=_block(actor, sheet=sheet, at=at),
        blocks=(
            paper.Text(text=_("Found in the presence of the carrier, before the vehicle left.")),
            _table(sheet, locale=locale),
            paper.Text(text=receipt.remark, soft=True),
            paper.Heading(text=_("Signed")),
            Table(
                columns=[
                    Column(text=_("For the carrier"), share=1),
                    Column(text=_("For the store"), share=1),
                ],
                rows=[
                    Row(cells=[f"\n{SIGNED}", f"\n{SIGNED}"]),
                    Row(cells=[_("Name and vehicle"), _("Name")]),
                ],
                size=10,
            ),
            paper.Text(
                text=_("This note keeps facts: what was found, what was expected, who saw it."), soft=True
            ),
        ),
    )


def _block(actor: Actor, *, sheet: ReceiptSheet, at: datetime) -> tuple[Field, ...]:
    receipt = sheet.receipt
    return (
        Field(name=_("Firm"), value=actor.firm_name),
        Field(name=_("Site"), value=receipt.site.name),
        Field(name=_("Supplier"), value=receipt.supplier.name, span=2),
        Field(name=_("Receipt"), value=receipt.number),
        Field(name=_("Delivery note"), value=receipt.note_number or BLANK),
        Field(name=_("Order"), value=receipt.order.number if receipt.order else BLANK),
        Field(name=_("Vehicle"), value=receipt.vehicle or BLANK),
        Field(name=_("Arrived"), value=_moment(receipt.happened_at), span=2),
        Field(name=_("As of"), value=_moment(at), span=2),
    )


def _table(sheet: ReceiptSheet, *, locale: Locale) -> Table:
    columns = [
        Column(text=_("Material"), share=1),
        Column(text=_("Unit")),
        Column(text=_("On the note"), right=True),
        Column(text=_("Found"), right=True),
        Column(text=_("Short"), right=True),
        Column(text=_("Goes back"), right=True),
        Column(text=_("Why"), share=1),
    ]
    rows = [Row(cells=_cells(row, locale=locale)) for row in sheet.at_fault]
    return Table(columns=columns, rows=rows, size=10)


def _cells(row: SheetLine, *, locale: Locale) -> list[str]:
    line, short = row.line, row.short_thousandths
    lot = _("lot %s") % line.lot.label if line.lot else ""
    return [
        f"{line.material.name}\n{lot}".strip(),
        line.measured_in,
        _figure(line.stated_thousandths, locale=locale),
        _figure(line.found_thousandths, locale=locale),
        _figure(short, locale=locale) if short else BLANK,
        _figure(line.rejected_thousandths, locale=locale) if line.rejected_thousandths else BLANK,
        line.reject_reason or (_("less was found") if short else BLANK),
    ]


def _figure(thousandths: int, *, locale: Locale) -> str:
    figure = Decimal(thousandths) / 1_000
    places = max(0, -int(figure.normalize().as_tuple().exponent))
    return figures.decimal_text(figure, places=places, locale=locale)


def _moment(at: datetime) -> str:
    local = timezone.localtime(at)
    return f"{formats.date_format(local, 'DATETIME_FORMAT')} {local:%Z}"
