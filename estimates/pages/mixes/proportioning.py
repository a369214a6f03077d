"""Mix proportioning: inputs, every step, and the way into a design. Nothing is saved here."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from estimates.calc.proportioning.steps import Proportions
from estimates.pages import design_typing
from estimates.pages.mixes.asking import FORMS, AmericanForm, IndianForm
from estimates.queries import mixes
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.pages import doors, figures
from projects.queries import pours as slab_rows

NOT_BOXES = frozenset({"method_name", "slab"})
LARGEST_CARRIED_MM = 25
"""The design form has boxes for stone of 20 and 10 mm."""

NAMES: dict[str, str | Promise] = {
    "cement": gettext_lazy("Cement"),
    "ash": gettext_lazy("Fly ash"),
    "water": gettext_lazy("Water"),
    "sand": gettext_lazy("Sand"),
    "stone": gettext_lazy("Stone"),
    "admixture": gettext_lazy("Admixture"),
    "sand.batch": gettext_lazy("Sand as it lies"),
    "stone.batch": gettext_lazy("Stone as it lies"),
    "water.batch": gettext_lazy("Water to add"),
}

REMARKS: dict[str, str | Promise] = {
    "ratio_lowered": gettext_lazy(
        "The stated water/binder ratio %(stated)s is above the exposure's most, %(most)s, which is used."
    ),
    "binder_above_most": gettext_lazy(
        "%(value)s kg of binder are above %(most)s kg/m³ (%(source)s). Ask the engineer before a trial."
    ),
    "cement_at_least": gettext_lazy("The least cement, %(least)s %(unit)s, decides."),
}


@doors.signed_in
@require_safe
def page(request: HttpRequest) -> HttpResponse:
    """Work a mix out step by step from what the address holds; a slab in it is where the result may go."""
    actor = doors.actor_of(request)
    name = request.GET.get("method_name", "is_10262")
    kind = FORMS.get(name, IndianForm)
    typed = {box: text for box, text in request.GET.items() if box not in NOT_BOXES}
    form = kind(_localised(kind.USUAL, locale=actor.locale) | typed, locale=actor.locale)
    found = None
    if form.is_valid():
        try:
            found = _worked_out(form, actor=actor)
        except ValueError as fault:
            form.add_error(None, str(fault))
    slab = _slab(request, actor=actor)
    context = {
        "form": form,
        "method_name": name if name in FORMS else "is_10262",
        "found": found,
        "masses": _masses(found) if found else (),
        "remarks": [REMARKS[row.code] % row.params for row in found.remarks] if found else (),
        "slab": slab,
        "carry": _carry(form, found=found, slab=slab, actor=actor) if found and slab else "",
        "title_block": {"document": _("Mix proportioning")}
        | ({"slab": slab.name, "site": slab.site.name} if slab else {}),
    }
    return render(request, "estimates/proportioning.html", context, status=200 if found else 422)


def _localised(usual: dict[str, str], *, locale: str) -> dict[str, str]:
    """The usual figures as the firm writes them: a point is a comma elsewhere."""
    chosen = figures.locale_for(locale)
    comma = chosen.number_symbols["latn"]["decimal"]
    return {
        name: text.replace(".", comma) if text.replace(".", "").isdigit() else text
        for name, text in usual.items()
    }


def _worked_out(form: IndianForm | AmericanForm, *, actor: Actor) -> Proportions:
    if isinstance(form, AmericanForm):
        return mixes.by_aci_211(actor, asked=form.asked())
    return mixes.by_is_10262(actor, asked=form.asked())


def _masses(found: Proportions) -> list[tuple[str | Promise, float]]:
    return [(NAMES[name], round(found.masses[name], 1)) for name in NAMES if name in found.masses]


def _slab(request: HttpRequest, *, actor: Actor) -> Any:
    """The slab that the address names, for those who may enter its design."""
    asked = request.GET.get("slab", "")
    if not (asked.isascii() and asked.isdigit() and len(asked) < 10):
        return None
    if not actor.can(Permission.EDIT_DESIGNS):
        return None
    return slab_rows.slab(actor, slab_id=int(asked))


def _carry(form: IndianForm | AmericanForm, *, found: Proportions, slab: Any, actor: Actor) -> str:
    """The address of the slab's design form with the mix in its boxes, or nothing for larger stone."""
    stone_mm = float(form.cleaned_data["stone_mm"].replace("_", "."))
    if stone_mm > LARGEST_CARRIED_MM:
        return ""
    mix = mixes.as_mix(
        actor,
        found=found,
        stone_mm=round(stone_mm),
        admixture_sg=form.cleaned_data.get("admixture_sg") or 1.145,
    )
    boxes = design_typing.written({"mix": mix}, locale=figures.locale_for(actor.locale))
    return f"{reverse('estimates:design_new', args=[slab.pk])}?{urlencode(boxes)}"
