from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.queries.cutting import needs
from inventory.services.cutting import asking, settings
from inventory.services.cutting.asking import AskAct
from inventory.services.cutting.settings import Cutting, SettingsAct
from projects.access.permissions import Permission
from projects.pages import acting, doors, figures
from projects.pages.forms import ActForm, CountField, FigureField
from projects.queries import sites

MOST_LENGTHS = 12


class LengthsField(forms.CharField):
    """Lengths in metres, one after the other: “6, 9, 12”; cleans to millimetres."""

    def clean(self, value: Any) -> tuple[int, ...] | None:
        text = str(super().clean(value) or "").strip()
        if not text:
            return None
        found = []
        for word in text.replace(";", " ").replace(", ", " ").replace(",", ".").split():
            number = word.removesuffix("m")
            if not number.replace(".", "", 1).isdecimal() or len(number) > 8:
                message = _("“%(word)s” is no length. Write metres, one after the other: 6, 9, 12.")
                raise forms.ValidationError(message % {"word": word[:20]})
            found.append(round(Decimal(number) * 1_000))
        return tuple(found)


class FiguresForm(ActForm):
    """The figures of cutting; what is empty is as the hint says."""

    blade_mm = CountField(
        label=gettext_lazy("Lost at each cut"), of="mm", most=settings.MOST_BLADE_MM, required=False
    )
    shortest_offcut_mm = CountField(
        label=gettext_lazy("Shortest rest that is kept"),
        of="mm",
        least=1,
        most=settings.MOST_OFFCUT_MM,
        required=False,
    )
    most_patterns = CountField(
        label=gettext_lazy("Different patterns of one size, at most"),
        of=gettext_lazy("patterns"),
        most=settings.MOST_PATTERNS,
        required=False,
        help_text=gettext_lazy("0 is as many as it takes."),
    )
    seconds = CountField(
        label=gettext_lazy("Time to search for one size"),
        of="s",
        least=1,
        most=settings.MOST_SECONDS,
        required=False,
    )


class SettingsForm(FiguresForm):
    offered_after_days = CountField(
        label=gettext_lazy("Offcuts are offered to other sites after"),
        of=gettext_lazy("days"),
        most=settings.MOST_DAYS,
        required=False,
    )


class AskForm(FiguresForm):
    site_id = forms.TypedChoiceField(label=gettext_lazy("Cut at the bench of"), coerce=int)
    slabs = forms.TypedMultipleChoiceField(
        label=gettext_lazy("For slabs"), coerce=int, required=False, widget=forms.CheckboxSelectMultiple
    )
    site_ids = forms.TypedMultipleChoiceField(
        label=gettext_lazy("For every slab still to be poured at"),
        coerce=int,
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    marks = forms.CharField(
        label=gettext_lazy("Only these marks"),
        max_length=2_000,
        required=False,
        help_text=gettext_lazy("As the schedule writes them, with commas between: S1, B1-1. Empty: all."),
    )
    buy_lengths_mm = LengthsField(
        label=gettext_lazy("Lengths that can be bought, m"),
        max_length=120,
        required=False,
        help_text=gettext_lazy("As 6, 9, 12. Empty: the bars in which your materials are sold."),
    )
    only_store = forms.BooleanField(
        label=gettext_lazy("Buy nothing: cut only what is in store"), required=False
    )
    field_order = ("site_id", "slabs", "site_ids", "marks", "buy_lengths_mm", "only_store")

    def clean(self) -> dict[str, Any]:
        """Ask for something to cut."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        if not self.errors and not typed.get("slabs") and not typed.get("site_ids"):
            self.add_error("slabs", _("Choose a slab or a site."))
        return typed


@doors.with_permission(Permission.PLAN_CUTTING)
def new(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    own = [(row.pk, row.name) for row in sites.all_sites(actor)]
    billed = [(row.pk, f"{row.site.name}: {row.name}") for row in needs.slabs_to_cut(actor)]
    usual = settings.of_firm(actor)

    def form(*args: Any, **kwargs: Any) -> AskForm:
        made = AskForm(*args, locale=actor.locale, **kwargs)
        acting.offer(made, field="site_id", choices=own)
        acting.offer(made, field="slabs", choices=billed)
        acting.offer(made, field="site_ids", choices=own)
        _hint(made, usual=usual, locale=actor.locale)
        return made

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return asking.ask(actor=actor, act=_act(typed), **how)

    sheet = acting.Sheet(
        heading=_("Plan cuts"),
        lead=_(
            "Pieces come from the issued bills. Offcuts in store are cut first, then bars, then bars to buy."
        ),
        button=_("Work the plan out"),
        said=_("The plan is being worked out."),
        back=reverse("inventory:cutting_plans"),
    )
    return acting.page(request, sheet=sheet, form=form, do=do, initial=_initial(request), done=_address)


@doors.with_permission(Permission.PLAN_ORDERS)
def figures_of_firm(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    usual = settings.of_firm(actor)

    def form(*args: Any, **kwargs: Any) -> SettingsForm:
        made = SettingsForm(*args, locale=actor.locale, **kwargs)
        _hint(made, usual=usual, locale=actor.locale)
        return made

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return settings.change(actor=actor, act=SettingsAct(**typed), **how)

    sheet = acting.Sheet(
        heading=_("How we cut"),
        lead=_("These figures hold for every plan. What is left empty is as the standards profile has it."),
        button=_("Keep these figures"),
        said=_("The figures are kept; new plans follow them."),
        back=reverse("inventory:cutting_plans"),
    )
    return acting.page(request, sheet=sheet, form=form, do=do)


def _act(typed: dict[str, Any]) -> AskAct:
    names = ("blade_mm", "shortest_offcut_mm", "most_patterns", "seconds")
    words = (word.strip() for word in typed["marks"].replace(";", ",").split(","))
    marks = tuple(dict.fromkeys(word for word in words if word))
    return AskAct(
        site_id=typed["site_id"],
        slab_ids=tuple(typed["slabs"]),
        site_ids=tuple(typed["site_ids"]),
        marks=marks,
        buy_lengths_mm=() if typed["only_store"] else typed["buy_lengths_mm"],
        settings=SettingsAct(**{name: typed[name] for name in names}),
    )


def _hint(form: ActForm, *, usual: Cutting, locale: str) -> None:
    """Say beside each figure what holds when it is left empty."""
    for name, field in form.fields.items():
        value = getattr(usual, name, None)
        if value is not None and isinstance(field, FigureField):
            written = figures.decimal_text(Decimal(value), places=0, locale=figures.locale_for(locale))
            said = _("Empty: %(value)s.") % {"value": written}
            field.help_text = f"{field.help_text} {said}".strip()


def _initial(request: HttpRequest) -> dict[str, Any]:
    wanted: dict[str, Any] = {"site_id": request.GET.get("site", "")}
    slab = request.GET.get("slab", "")
    return wanted | ({"slabs": [slab]} if slab.isdecimal() else {})


def _address(plan: Any) -> str:
    return reverse("inventory:cutting_plan", args=[plan.pk])
