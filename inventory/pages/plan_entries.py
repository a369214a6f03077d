"""Suggestions in the words and figures that the plan's pages show."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from itertools import groupby
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _

from inventory.pages import charts, order_forms, outlooks, plan_words, showing


def groups(entries: list[dict[str, Any]], *, actor: Any, filled: Any) -> list[dict[str, Any]]:
    """Put what can be one order together: one supplier, one site."""

    def together(one: dict[str, Any]) -> tuple[str, int, str, int]:
        row = one["row"]
        seller = row.supplier
        return (seller.name if seller else "", row.supplier_id or 0, row.site.name, row.site_id)

    found = []
    for _slot, part in groupby(sorted(entries, key=together), key=together):
        mine = list(part)
        row = mine[0]["row"]
        form = _group_form(mine, actor=actor, filled=filled)
        for one in mine:
            one["choose"] = form[f"choose_{one['row'].pk}"]
            one["packs_box"] = form[f"packs_{one['row'].pk}"]
        amounts = [one["row"].amount_minor for one in mine if one["row"].amount_minor is not None]
        first = min(one["row"].order_by_date for one in mine)
        found.append(
            {
                "supplier": row.supplier,
                "site": row.site,
                "entries": mine,
                "form": form,
                "total": sum(amounts),
                "first": first,
            }
        )
    return sorted(found, key=lambda group: (group["first"], group["site"].name))


def _group_form(entries: Iterable[dict[str, Any]], *, actor: Any, filled: Any) -> Any:
    ids = [str(one["row"].pk) for one in entries]
    if filled is not None and set(filled.ids) == set(ids):
        return filled
    initial = {f"packs_{one['row'].pk}": one["row"].packs for one in entries}
    initial |= {f"choose_{pk}": True for pk in ids}
    return order_forms.plan_form(ids)(locale=actor.locale, initial=initial)


def move_groups(rows: Iterable[Any], *, actor: Any) -> list[dict[str, Any]]:
    """Put what can go on one trip together: one site that it leaves, one that it goes to."""
    found = []
    for _way, part in groupby(rows, key=lambda row: (row.from_site_id, row.site_id)):
        mine = list(part)
        entries = [_move(row, actor=actor) for row in mine]
        freight = max(row.reason["freight_minor"] for row in mine)
        spared = sum(row.reason["avoided_minor"] - row.reason["worth_minor"] for row in mine)
        found.append(
            {
                "source": mine[0].from_site,
                "target": mine[0].site,
                "entries": entries,
                "freight_minor": freight,
                "road": mine[0].reason.get("road"),
                "saving_minor": spared - freight,
                "form": order_forms.KeyForm(locale=actor.locale),
                "first": min(row.order_by_date for row in mine),
            }
        )
    return found


def entry(row: Any, *, actor: Any, today: date | None = None) -> dict[str, Any]:
    """Put a suggestion into the words and figures that its sentence and its table show."""
    if row.kind == row.Kind.MOVE:
        return _move(row, actor=actor, today=today)
    shown = showing.material(row.material, pack=row.pack)
    bought = showing.bought(row.material, pack=row.pack)
    left = (row.order_by_date - (today or timezone.localdate())).days
    return {
        "row": row,
        "shown": shown,
        "reason": row.reason,
        "order_words": showing.packs(row.quantity, shown=bought, locale=actor.locale),
        "pack_words": f"× {row.pack.name}" if bought.pack else row.material.show_unit,
        "left_over": row.reason["planned_earlier"] + row.reason["opened_packs"],
        "when": _when(left),
        "kind": "warning" if left < 1 else "none",
        "days": [one | {"date": date.fromisoformat(one["day"])} for one in row.reason["days"]],
        "orders": [one | {"date": date.fromisoformat(one["expected"])} for one in row.reason["orders"]],
        "offers": [one | {"price_minor": showing.minor(one["pack_price"])} for one in row.reason["offers"]],
        "price_minor": showing.minor(row.pack_price) if row.pack_price is not None else None,
        "line": charts.stock_line(row.reason["days"]),
        "chances": _chances(row, locale=actor.locale),
        "terms": plan_words.terms(row, actor=actor),
        "remedies": [
            one | {"date": date.fromisoformat(one["last_day"])} for one in row.reason.get("remedies", ())
        ],
    }


def words(row: Any, *, actor: Any) -> dict[str, Any] | None:
    """Say in few words what a suggestion buys or moves, and by when; None for none."""
    if row is None:
        return None
    bought = showing.bought(row.material, pack=row.pack)
    return {
        "row": row,
        "packs": showing.packs(row.quantity, shown=bought, locale=actor.locale),
        "from": row.from_site or row.supplier,
        "late": row.late_days,
        "late_words": showing.late(row.late_days) if row.late_days else "",
    }


def _move(row: Any, *, actor: Any, today: date | None = None) -> dict[str, Any]:
    """A move in words: what, and when it has to leave."""
    bought = showing.bought(row.material, pack=row.pack)
    left = (row.order_by_date - (today or timezone.localdate())).days
    return {
        "row": row,
        "order_words": showing.packs(row.quantity, shown=bought, locale=actor.locale),
        "when": showing.late(-left) if left < 0 else _("send today") if left == 0 else "",
        "kind": "warning" if left < 1 else "none",
    }


def _chances(row: Any, *, locale: str) -> dict[str, Any]:
    """How likely the pour runs short with and without it, and what that rests on, in words."""
    known = row.short_ppm is not None and row.idle_short_ppm is not None
    return {
        "known": known,
        "short": showing.chance(row.short_ppm, locale=locale) if known else "",
        "idle": showing.chance(row.idle_short_ppm, locale=locale) if known else "",
        "behind": outlooks.behind_words(row.reason.get("behind", [])),
    }


def _when(left: int) -> str:
    if left < 0:
        return showing.late(-left)
    return _("order today") if left == 0 else ""
