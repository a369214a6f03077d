from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from estimates.documents import batch
from estimates.pages import tables
from estimates.queries import batching, designs
from estimates.queries.batching import BatchSheet, NoCard, Wish
from projects.errors import Refused
from projects.pages import doors, figures
from projects.pages.forms import FigureField, SheetForm

TENTHS = 10
LITRES_OF_THE_LARGEST_DRUM = 5_000
HEAVIEST_BAG_KG = 100
MOST_M3 = 5_000
MOST_PERCENT = 50


def _tenths(label: Any, *, unit: str, most: int, least: int = 0, help_text: Any = "") -> FigureField:
    return FigureField(
        label=label,
        unit_shown=unit,
        scale=TENTHS,
        least=least,
        most=most * TENTHS,
        required=False,
        help_text=help_text,
    )


class CardForm(SheetForm):
    batching = forms.ChoiceField(
        label=gettext_lazy("Measured by"),
        required=False,
        choices=(("volume", gettext_lazy("gauge boxes")), ("mass", gettext_lazy("weighing"))),
    )
    concrete = _tenths(
        gettext_lazy("Concrete"),
        unit="m³",
        most=MOST_M3,
        least=1,
        help_text=gettext_lazy("empty for the whole slab"),
    )
    mixer = _tenths(
        gettext_lazy("One batch of the mixer"),
        unit="L",
        most=LITRES_OF_THE_LARGEST_DRUM,
        least=TENTHS,
        help_text=gettext_lazy("mixed concrete; empty for the profile's usual mixer"),
    )
    bag = _tenths(
        gettext_lazy("Bag of cement"),
        unit="kg",
        most=HEAVIEST_BAG_KG,
        least=TENTHS,
        help_text=gettext_lazy("empty for the bag in which the firm buys"),
    )
    sand_moisture = _tenths(gettext_lazy("Moisture of the sand"), unit="%", most=MOST_PERCENT)
    sand_bulking = _tenths(
        gettext_lazy("Bulking of the sand"),
        unit="%",
        most=MOST_PERCENT,
        help_text=gettext_lazy("for gauge boxes: measured, not taken from a table"),
    )
    stone_moisture = _tenths(gettext_lazy("Moisture of the stone"), unit="%", most=MOST_PERCENT)


@doors.signed_in
@require_safe
def card(request: HttpRequest, design_id: int) -> HttpResponse:
    """The batch card for the mixer and the heaps of the day."""
    actor = doors.actor_of(request)
    form = CardForm(request.GET, locale=actor.locale)
    sheet, refused = None, ""
    if form.is_valid():
        try:
            sheet = batching.of_design(actor, design_id=design_id, wish=_wish(form))
        except NoCard as fault:
            refused = fault.message
    locale = figures.locale_for(actor.locale)
    design = sheet.design if sheet else designs.one(actor, design_id=design_id)
    context = {
        "form": form,
        "design": design,
        "sheet": sheet,
        "refused": refused,
        "lead": batch.lead(sheet, locale=locale) if sheet else "",
        "assumed": batch.assumed(sheet) if sheet else "",
        "steps": _steps(sheet) if sheet else [],
        "cement_kg": sheet.card.bags * sheet.bag_kg if sheet else 0,
        "boxes": [(batch.box_name(box.name), box) for box in sheet.card.boxes] if sheet else [],
        "query": request.GET.urlencode(),
        "crumbs": [
            {"url": reverse("estimates:slabs"), "label": _("Slabs")},
            {"url": reverse("estimates:slab", args=[design.slab_id]), "label": design.slab.name},
            {
                "url": reverse("estimates:design", args=[design.pk]),
                "label": _("Take-off of design %s") % design.number,
            },
        ],
        "title_block": {
            "site": design.slab.site.name,
            "slab": design.slab.name,
            "drawing": design.drawing.number,
            "revision": design.drawing.revision,
            "edition": sheet.edition if sheet else "",
            "document": _("Batch card"),
        },
    }
    return render(request, "estimates/batch_card.html", context)


@doors.signed_in
@require_safe
def file(request: HttpRequest, design_id: int) -> HttpResponse:
    """The batch card to print, for the same mixer and heaps."""
    actor = doors.actor_of(request)
    designs.one(actor, design_id=design_id)
    form = CardForm(request.GET, locale=actor.locale)
    if not form.is_valid():
        raise Refused(" ".join(f"{fault['label']}: {fault['message']}" for fault in form.faults))
    sheet = batching.of_design(actor, design_id=design_id, wish=_wish(form))
    return tables.file(
        f"batch-card-{design_id}.pdf", content=batch.pdf(actor, sheet=sheet, at=timezone.now())
    )


def _steps(sheet: BatchSheet) -> list[tuple[str, Any]]:
    card = sheet.card
    return [(batch.name_of(step), step) for step in (*card.aggregates, card.water, *card.steps)]


def _wish(form: CardForm) -> Wish:
    typed = {name: None if value is None else value / TENTHS for name, value in _figures(form).items()}
    return Wish(
        by_mass=form.cleaned_data["batching"] == "mass",
        concrete_m3=typed["concrete"],
        bag_kg=typed["bag"],
        mixer_l=typed["mixer"],
        sand_moisture_percent=typed["sand_moisture"],
        sand_bulking_percent=typed["sand_bulking"],
        stone_moisture_percent=typed["stone_moisture"],
    )


def _figures(form: CardForm) -> dict[str, int | None]:
    return {name: value for name, value in form.cleaned_data.items() if name != "batching"}
