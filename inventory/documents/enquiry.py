"""An enquiry as one supplier reads it: what is asked for, and room to answer in any unit and on any basis."""

from __future__ import annotations

from datetime import datetime

from django.utils.translation import gettext as _

from estimates.documents import paper
from estimates.documents.paper import Column, Document, Row, Table
from inventory.documents import words
from inventory.queries.enquiries import Letter
from projects.access.actor import Actor
from projects.pages import figures

ROOM = "\n\n"


def document(actor: Actor, *, letter: Letter, at: datetime) -> Document:
    """Return the enquiry as a document; `at` is when it is printed."""
    enquiry = letter.enquiry
    asked = _("Please quote by %(answer)s for delivery on site by %(needed)s.") % {
        "answer": words.day(enquiry.answer_date),
        "needed": words.day(enquiry.needed_date),
    }
    blocks: list[paper.Block] = [
        paper.Text(text=_("To %(supplier)s") % {"supplier": letter.supplier}),
        paper.Text(text=asked),
    ]
    if enquiry.remark:
        blocks.append(paper.Text(text=enquiry.remark))
    return Document(
        title=_("Enquiry %(number)s") % {"number": enquiry.number},
        block=words.block(actor, site=enquiry.site, number=enquiry.number, at=at),
        blocks=(*blocks, _table(actor, letter=letter), paper.Heading(text=_("Your terms")), _terms()),
    )


def pdf(actor: Actor, *, letter: Letter, at: datetime) -> bytes:
    """Return the enquiry as PDF."""
    return paper.pdf(document(actor, letter=letter, at=at))


def _table(actor: Actor, *, letter: Letter) -> Table:
    locale = figures.locale_for(actor.locale)
    rows = [
        Row(
            cells=[
                str(line.position),
                f"{line.material.name}\n{line.specification}".strip(),
                words.quantity(line.quantity, of=line.material, locale=locale),
                ROOM,
                ROOM,
            ]
        )
        for line in letter.lines
    ]
    columns = [
        Column(text=_("No.")),
        Column(text=_("Material and specification"), share=2),
        Column(text=_("Quantity"), right=True),
        Column(text=_("Your unit"), share=1),
        Column(text=_("Your price for one"), unit=actor.currency, share=1),
    ]
    return Table(columns=columns, rows=rows, size=10)


def _terms() -> Table:
    """What a price means only together with; a quotation that leaves one of them open cannot be compared."""
    asked = (
        _("The price is for: a bag, a tonne, a m³, a ft³, a truck load of how many"),
        _("Freight to the site: in the price, or how much"),
        _("Loading: in the price, or how much"),
        _("Tax: in the price or on top of it, and at which rate"),
        _("Least quantity"),
        _("Days from the order to the delivery"),
        _("Valid until"),
        _("Days of credit"),
    )
    rows = [Row(cells=[text, ""]) for text in asked]
    return Table(
        columns=[Column(text=_("Term"), share=3), Column(text=_("Answer"), share=2)], rows=rows, size=10
    )
