"""The standards' values with their sources in words, and the firm's own figures beside them."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from django import forms
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from estimates.calc.sheet import grades
from estimates.pages.materials import acting_form
from estimates.queries import standards as rows
from estimates.queries.standards import ValueRow
from estimates.services import figures
from estimates.services.figures import SHORTEST_REASON, FigureAct
from estimates.standards.own import Sense
from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.pages.forms import ActForm, FigureField

TITLES = {
    "is": gettext_lazy("Indian"),
    "en": gettext_lazy("European and British"),
    "aci": gettext_lazy("American"),
}


SCALE = 1_000_000
"""A figure is read to its sixth decimal."""


class FigureForm(ActForm):
    reason = forms.CharField(
        label=gettext_lazy("Reason"),
        max_length=400,
        min_length=SHORTEST_REASON,
        help_text=gettext_lazy("On what it rests and who says so, as a test of the sand on 3 March."),
    )


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    """All values of a profile by subject, with a search."""
    actor = doors.actor_of(request)
    profile_id = _known(request.GET.get("profile", "") or actor.profile)
    search = request.GET.get("search", "")[:80]
    found = rows.listing(actor, profile_id=profile_id, search=search)
    edition = rows.of_firm(actor, profile_id=profile_id).edition
    context = {
        "groups": [(subject, list(group)) for subject, group in groupby(found, key=lambda row: row.subject)],
        "count": len(found),
        "own": [row for row in rows.listing(actor, profile_id=profile_id) if row.own is not None],
        "profile": profile_id,
        "profiles": TITLES.items(),
        "search": search,
        "may_edit": actor.can(Permission.SET_FIGURES),
        "title_block": {
            "document": _("Standards"),
            "edition": edition,
        },
    }
    return render(request, "estimates/standards.html", context)


@doors.with_permission(Permission.SET_FIGURES)
def figure(request: HttpRequest, profile: str, key: str) -> HttpResponse:
    """Set the firm's own figure for one value, below what it has set before."""
    actor = doors.actor_of(request)
    profile_id = _known(profile)
    row = rows.one(actor, profile_id=profile_id, key=key)

    class OwnForm(FigureForm):
        value = FigureField(
            label=gettext_lazy("Our figure"),
            unit_shown=row.unit,
            scale=SCALE,
            required=False,
            help_text=gettext_lazy("Empty: the standards' own holds again."),
        )
        field_order = ("value", "reason")

    def do(typed: dict[str, Any], **how: Any) -> Any:
        typed["value"] = None if typed["value"] is None else typed["value"] / SCALE
        return figures.set_own(actor=actor, act=FigureAct(profile=profile_id, key=key, **typed), **how)

    initial = {"value": None if row.own is None else round(row.own * SCALE)}
    sheet = acting.Sheet(
        heading=_("Our figure for %s") % (row.meaning or row.key),
        lead=_lead(row),
        button=_("Set our figure"),
        said=_("The figure is set. Bills that are issued already stay as they are."),
        back=f"{reverse('estimates:standards')}?profile={profile_id}",
        more={"history": rows.history(actor, profile_id=profile_id, key=key), "unit": row.unit},
        template="estimates/figure.html",
    )
    return acting.page(
        request, sheet=sheet, form=acting_form(OwnForm, locale=actor.locale), do=do, initial=initial
    )


def _lead(row: ValueRow) -> str:
    params = {"value": f"{row.value:g}", "unit": row.unit, "source": row.source}
    words = {
        Sense.LEAST: _(
            "The standards ask for at least %(value)s %(unit)s (%(source)s); it may only be raised."
        ),
        Sense.MOST: _("The most is %(value)s %(unit)s (%(source)s); it may only be lowered."),
        Sense.PLAIN: _("The standards' own is %(value)s %(unit)s (%(source)s)."),
        Sense.FIXED: _("%(value)s %(unit)s (%(source)s) belongs to a name and cannot be changed."),
    }
    return words[row.sense] % params


def _known(text: str) -> str:
    try:
        return grades.profile_id(text)
    except ValueError:
        raise Http404 from None
