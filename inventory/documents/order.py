"""An order as its supplier reads it, with a code that opens its receipt form on the phone at the gate."""

from __future__ import annotations

import io
from datetime import datetime

import segno
from babel import Locale
from django.utils.translation import gettext as _

from estimates.documents import paper
from estimates.documents.paper import Column, Document, Row, Table
from inventory.documents import words
from inventory.queries.orders import Letter
from projects.access.actor import Actor
from projects.pages import figures

CODE_HEIGHT = 32
"""Height of the code on paper [mm]. Source: common practice: it is read from about ten times its width."""


def document(actor: Actor, *, letter: Letter, receipt_url: str, at: datetime) -> Document:
    """Return the order as a document; `receipt_url` is where its receipt is recorded."""
    locale = figures.locale_for(actor.locale)
    where = f"{letter.site}, {letter.place}" if letter.place else letter.site
    asked = _("Please deliver on %(day)s to %(where)s.") % {
        "day": words.day(letter.expected_date),
        "where": f"{letter.firm}, {where}",
    }
    number = letter.number
    if letter.version > 1:
        number = _("%(number)s, version %(version)s") % {"number": number, "version": letter.version}
    return Document(
        title=_("Order %(number)s") % {"number": number},
        block=words.block(actor, site=words.Where(letter.site, letter.place), number=number, at=at),
        blocks=(
            paper.Text(text=_("To %(supplier)s") % {"supplier": letter.supplier}),
            *_standing(letter),
            paper.Text(text=asked),
            _table(actor, letter=letter, locale=locale),
            paper.Text(text=_("Please write %(number)s on the delivery note.") % {"number": letter.number}),
            paper.Drawing(
                svg=code(receipt_url),
                caption=_("For the site: opens the receipt of this order. %(url)s") % {"url": receipt_url},
                height=CODE_HEIGHT,
            ),
        ),
    )


def pdf(actor: Actor, *, letter: Letter, receipt_url: str, at: datetime) -> bytes:
    """Return the order as PDF."""
    return paper.pdf(document(actor, letter=letter, receipt_url=receipt_url, at=at))


def code(url: str) -> str:
    """Return an address as a QR code, as SVG."""
    out = io.BytesIO()
    segno.make(url, error="m", micro=False).save(out, kind="svg", border=4, xmldecl=False)
    return out.getvalue().decode()


def _standing(letter: Letter) -> list[paper.Block]:
    """Say that the order takes the place of an earlier version, with the difference."""
    if letter.amended is None:
        return []
    changes = [
        _("%(material)s, %(pack)s: %(after)s instead of %(before)s")
        % {
            "material": change["material"],
            "pack": change["pack"],
            "before": change["packs"][0],
            "after": change["packs"][1],
        }
        for change in letter.amended.changes
        if change["packs"][0] != change["packs"][1]
    ]
    said = "\n".join([letter.amended.reason, *changes])
    return [paper.Notice(title=_("This takes the place of what you had before"), text=said)]


def _table(actor: Actor, *, letter: Letter, locale: Locale) -> Table:
    def money(minor: int) -> str:
        return figures.money_figure(minor, currency=actor.currency, locale=locale)

    rows = [
        Row(
            cells=[
                str(line.position),
                line.material.name,
                figures.packs(line.quantity, pack=line.pack.name, content=line.pack.content, locale=locale),
                words.quantity(line.quantity, of=line.material, locale=locale),
                money(round(line.pack_price / 10_000)),
                money(line.amount_minor),
            ]
        )
        for line in letter.lines
    ]
    if letter.freight_minor:
        rows.append(Row(cells=["", _("Delivery"), "", "", "", money(letter.freight_minor)]))
    total = Row(kind="total", cells=["", _("Total on site"), "", "", "", money(letter.total_minor)])
    unit = figures.money_sign(actor.currency, locale=locale)
    columns = [
        Column(text=_("No.")),
        Column(text=_("Material"), share=1),
        Column(text=_("Ordered"), right=True),
        Column(text=_("That is"), right=True),
        Column(text=_("Price of a pack"), unit=unit, right=True),
        Column(text=_("Amount"), unit=unit, right=True),
    ]
    return Table(columns=columns, rows=[*rows, total], size=10)
