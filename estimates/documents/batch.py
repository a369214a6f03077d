"""The batch card as a document: one page to hang at the mixer, and how its figures came about."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from babel import Locale
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from estimates.calc.derivation import Input, Quantity
from estimates.documents import paper, title_block, trade
from estimates.documents.paper import Block, Column, Document, Row, Table, Working
from estimates.queries.batching import BatchSheet
from projects.access.actor import Actor
from projects.pages import figures


def document(actor: Actor, *, sheet: BatchSheet, at: datetime) -> Document:
    """Return the card as a document; `at` is when it was worked out."""
    locale = figures.locale_for(actor.locale)
    card = sheet.card
    return Document(
        title=_("Batch card"),
        block=title_block.of_design(actor, design=sheet.design, edition=sheet.edition, as_of=at),
        blocks=(
            paper.Text(text=lead(sheet, locale=locale)),
            _into_the_mixer(sheet, locale=locale),
            *_boxes(sheet, locale=locale),
            paper.Heading(text=_("For the pour")),
            Table(
                columns=[Column(text=_("Figure"), share=1), Column(text=_("Amount"), right=True)],
                rows=[
                    Row(cells=[_(step.title), _amount(step, sheet=sheet, locale=locale)])
                    for step in card.steps
                ],
                size=10,
            ),
            paper.Text(text=assumed(sheet), soft=True),
            paper.caution(),
            paper.Heading(text=_("How each figure came about")),
            paper.Workings(items=[_working(step, locale=locale) for step in _all(sheet)]),
        ),
    )


def pdf(actor: Actor, *, sheet: BatchSheet, at: datetime) -> bytes:
    """Return the card as PDF."""
    return paper.pdf(document(actor, sheet=sheet, at=at))


def lead(sheet: BatchSheet, *, locale: Locale) -> str:
    """Return the sentence that says how many batches of how many bags."""
    words = ngettext(
        "%(batches)s batches of one bag for %(volume)s m³ of concrete.",
        "%(batches)s batches of %(bags)s bags for %(volume)s m³ of concrete.",
        sheet.card.bags,
    )
    return words % {
        "batches": figures.derivation_number(sheet.card.batches, locale=locale),
        "bags": figures.derivation_number(sheet.card.bags, locale=locale),
        "volume": figures.derivation_number(round(sheet.concrete_m3, 2), locale=locale),
    }


def assumed(sheet: BatchSheet) -> str:
    """Return what was not measured, so that the card does not seem surer than it is."""
    wish = sheet.wish
    said = []
    if wish.sand_moisture_percent is None:
        said.append(_("The moisture of the sand was not given: no water is taken off for it."))
    if wish.stone_moisture_percent is None:
        said.append(_("The moisture of the stone was not given: no water is taken off for it."))
    if not wish.by_mass and wish.sand_bulking_percent is None:
        said.append(_("The bulking of the sand was not given: damp sand fills the box with less sand."))
    return " ".join(said)


def amount(step: Quantity, *, locale: Locale) -> str:
    """Return a figure of the card with its unit."""
    value = round(step.net, 1) if step.unit in {"L", "kg", "ml", "h"} else round(step.net, 3)
    return paper.joined(figures.derivation_number(value, locale=locale), step.unit)


def _amount(step: Quantity, *, sheet: BatchSheet, locale: Locale) -> str:
    """A figure of the card, and under it the same in units of the trade."""
    also = trade.beside(step.net, unit=step.unit, profile=sheet.profile, key=step.key, locale=locale)
    return trade.under(amount(step, locale=locale), also)


def name_of(step: Quantity) -> str:
    """Return what a figure of the card is: for a heap its name, since all heaps are measured alike."""
    what, _dot, heap = step.key.partition(".")
    if heap != "sand" and not heap.startswith("stone-"):
        return _(step.title)
    named = box_name(heap)
    return f"{_(step.title)}: {named}" if what == "carried" else named


def box_name(heap: str) -> str:
    """Return the name of a gauge box."""
    return _("Sand") if heap == "sand" else _("Stone %s mm") % heap.removeprefix("stone-")


def _into_the_mixer(sheet: BatchSheet, *, locale: Locale) -> Table:
    card = sheet.card
    columns = [Column(text=_("Into one batch"), share=1), Column(text=_("Amount"), right=True)]
    bag = figures.derivation_number(sheet.bag_kg, locale=locale)
    also = trade.beside(
        sheet.bag_kg * card.bags, unit="kg", profile=sheet.profile, key="cement", locale=locale
    )
    cement = ngettext("%(n)s bag of %(kg)s kg", "%(n)s bags of %(kg)s kg", card.bags) % {
        "n": card.bags,
        "kg": bag,
    }
    found = [Row(cells=[_("Cement"), trade.under(cement, also)])]
    measured = (*card.aggregates, card.water)
    found += [Row(cells=[name_of(item), _amount(item, sheet=sheet, locale=locale)]) for item in measured]
    return Table(columns=columns, rows=found, size=13)


def _boxes(sheet: BatchSheet, *, locale: Locale) -> Iterator[Block]:
    if not sheet.card.boxes:
        return
    columns = [
        Column(text=_("Gauge box, struck level"), share=1),
        Column(text=_("Full boxes for one bag"), right=True),
        Column(text=_("Length"), unit="mm", right=True),
        Column(text=_("Width"), unit="mm", right=True),
        Column(text=_("Height"), unit="mm", right=True),
        Column(text=_("Holds"), unit="L", right=True),
    ]
    rows = [
        Row(
            cells=[
                box_name(box.name),
                *(
                    figures.derivation_number(value, locale=locale)
                    for value in (box.count, box.length_mm, box.width_mm, box.height_mm, round(box.holds, 1))
                ),
            ]
        )
        for box in sheet.card.boxes
    ]
    yield paper.Heading(text=_("Gauge boxes, inside"))
    yield Table(columns=columns, rows=rows, size=10)


def _all(sheet: BatchSheet) -> tuple[Quantity, ...]:
    return (*sheet.card.steps, *sheet.card.aggregates, sheet.card.water)


def _working(step: Quantity, *, locale: Locale) -> Working:
    inputs = [_input(name, item=item, locale=locale) for name, item in step.inputs.items()]
    result = paper.joined(figures.derivation_number(step.net, locale=locale), step.unit)
    source = "; ".join(part for part in (step.method, step.source) if part)
    return Working(
        title=name_of(step),
        result=result,
        formula=step.formula,
        inputs=inputs,
        source=source,
    )


def _input(name: str, *, item: Input, locale: Locale) -> str:
    figure = paper.joined(figures.derivation_number(item.value, locale=locale), item.unit)
    return f"{name} = {figure} ({item.source})"
