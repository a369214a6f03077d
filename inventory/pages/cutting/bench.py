from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_POST, require_safe

from inventory.pages.cutting import plans as plan_pages
from inventory.pages.cutting import rows
from inventory.pages.stock_forms import ReasonForm
from inventory.queries.cutting import pieces, plans
from inventory.services.cutting import bench, issuing
from inventory.services.cutting.bench import CutAct, UndoAct
from inventory.services.cutting.issuing import IssuePiecesAct, PieceAct
from projects.access.permissions import Permission
from projects.errors import NotAllowed, NotFound, Refused
from projects.pages import acting, doors
from projects.pages.forms import ActForm, CountField
from projects.queries import pours

LAST_TICKS = 10


class TickForm(ActForm):
    """A tap on a pattern: how many bars, and how many were ticked on the page that was read."""

    bars = forms.IntegerField(min_value=1, max_value=1_000_000)
    done_before = forms.IntegerField(min_value=0, max_value=1_000_000)


@doors.with_permission(Permission.MOVE_STOCK)
@require_safe
def sheet(request: HttpRequest, plan_id: int) -> HttpResponse:
    return _show(request, plan_id=plan_id)


@doors.with_permission(Permission.MOVE_STOCK)
@require_POST
def cut(request: HttpRequest, pattern_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    pattern = plans.pattern(actor, pattern_id=pattern_id)
    form = TickForm(request.POST)
    if not form.is_valid():
        wrong = Refused(_("Say how many bars were cut, 1 or more. Reload the page and tap again."))
        return _show(request, plan_id=pattern.plan_id, refused=wrong, at=pattern_id)
    typed = form.cleaned_data
    act = CutAct(pattern_id=pattern_id, bars=typed["bars"], done_before=typed["done_before"])
    try:
        bench.cut(actor=actor, act=act, key=str(typed["key"]), now=timezone.now())
    except (NotFound, NotAllowed):
        raise
    except Refused as refused:
        return _show(request, plan_id=pattern.plan_id, refused=refused, at=pattern_id)
    return redirect(f"{reverse('inventory:cutting_bench', args=[pattern.plan_id])}#p{pattern.position}")


@doors.with_permission(Permission.MOVE_STOCK)
def undo(request: HttpRequest, cut_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    row = plans.cut(actor, cut_id=cut_id)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return bench.undo(actor=actor, act=UndoAct(cut_id=row.pk, **typed), **how)

    what = acting.Sheet(
        heading=_("Take back pattern %(pattern)s: %(bars)s bars")
        % {"pattern": row.pattern.position, "bars": row.bars},
        lead=_("The bars lie in the store again; its offcuts and pieces are gone."),
        button=_("Take the cut back"),
        said=_("The cut is taken back."),
        back=reverse("inventory:cutting_bench", args=[row.pattern.plan_id]),
    )
    return acting.page(request, sheet=what, form=ReasonForm, do=do)


@doors.with_permission(Permission.MOVE_STOCK)
def issue(request: HttpRequest, pour_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    pour = pours.one(actor, pour_id=pour_id)
    there = pieces.for_slab(actor, slab_id=pour.slab_id)

    def form(*args: Any, **kwargs: Any) -> ActForm:
        return _pieces_form(there)(*args, locale=actor.locale, **kwargs)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        chosen = tuple(
            PieceAct(need_id=row.need.pk, count=typed[f"need_{row.need.pk}"])
            for row in there
            if typed[f"need_{row.need.pk}"]
        )
        act = IssuePiecesAct(pour_id=pour.pk, pieces=chosen, given_to=typed["given_to"])
        return issuing.issue(actor=actor, act=act, **how)

    what = acting.Sheet(
        heading=_("Cut bars to %(slab)s, %(pour)s") % {"slab": pour.slab.name, "pour": pour.name},
        lead=_("What is carried from the bench to the forms. Leave the rest empty.")
        if there
        else _("Nothing that is cut for this slab lies at a bench."),
        button=_("Issue to slab"),
        said=_("The issue is recorded."),
        back=reverse("inventory:store", args=[pour.slab.site_id]),
    )
    return acting.page(request, sheet=what, form=form, do=do, done=_slip)


def _pieces_form(there: list[pieces.Row]) -> type[ActForm]:
    """Make the form with a box for every mark at the bench."""
    boxes: dict[str, Any] = {
        f"need_{row.need.pk}": CountField(
            label=_("%(mark)s, %(size)s mm, %(length)s mm long")
            % {"mark": row.need.mark, "size": row.need.material.size_mm, "length": row.need.length_mm},
            of=_("of %(there)s") % {"there": row.at_bench},
            most=row.at_bench,
            required=False,
        )
        for row in there
    }
    given = forms.CharField(label=gettext_lazy("Given to"), max_length=120, required=False)
    return type("PiecesForm", (_PiecesForm,), boxes | {"given_to": given})


class _PiecesForm(ActForm):
    def clean(self) -> dict[str, Any]:
        """Ask for at least one mark."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        if not self.errors and not any(value for name, value in typed.items() if name.startswith("need_")):
            self.add_error(None, _("Say how many pieces of at least one mark."))
        return typed


def _slip(slip: Any) -> str:
    return reverse("inventory:slip", args=[slip.pk])


def _show(request: HttpRequest, *, plan_id: int, refused: Refused | None = None, at: int = 0) -> HttpResponse:
    actor = doors.actor_of(request)
    found = plans.one(actor, plan_id=plan_id)
    plan = found.plan
    cards = [
        one
        | {
            "form": TickForm(initial={"done_before": one["row"].done}, auto_id=False),
            "refused": refused if one["row"].pk == at else None,
        }
        for size in rows.sizes(found)
        for one in size["patterns"]
    ]
    context = {
        "sheet": found,
        "plan": plan,
        "cards": [card for card in cards if card["pattern"].left],
        "finished": [card for card in cards if not card["pattern"].left],
        "refused": refused,
        "open": plan.state in ("reserved", "done"),
        "ticks": plans.cuts(actor, plan_id=plan_id)[:LAST_TICKS],
        "crumbs": [
            *plan_pages.crumbs(),
            {"url": reverse("inventory:cutting_plan", args=[plan.pk]), "label": plan.number},
        ],
        "title_block": {"site": plan.site.name, "document": _("Bench, %s") % plan.number},
    }
    status = refused.status if refused else 200
    return render(request, "inventory/cutting/bench.html", context, status=status)
