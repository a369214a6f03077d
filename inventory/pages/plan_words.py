"""The supplier's terms behind a suggestion, in sentences: only those that had a say."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from inventory.pages import showing, supplier_terms
from projects.access.permissions import Permission
from projects.pages import figures


def terms(row: Any, *, actor: Any) -> list[str]:
    """Say which terms of the supplier made the suggestion what it is."""
    found = row.reason.get("terms", {})
    if row.supplier is None:
        return []
    money = list(_money(found, actor=actor)) if actor.can(Permission.SEE_MONEY) else []
    return [*money, *_days(found), *_price(row, found=found)]


def _money(found: dict[str, Any], *, actor: Any) -> Iterator[str]:
    def amount(minor: int) -> str:
        return figures.money(minor, currency=actor.currency, locale=figures.locale_for(actor.locale))

    if "trucks" in found:
        one = found["trucks"]
        words = ngettext(
            "One truck brings it, for %(cost)s.",
            "%(count)s trucks bring it, each for %(cost)s.",
            one["count"],
        )
        if one["with"]:
            words = ngettext(
                "One truck brings it together with %(with)s, for %(cost)s.",
                "%(count)s trucks bring it together with %(with)s, each for %(cost)s.",
                one["count"],
            )
        said = {"cost": amount(one["cost_minor"]), "count": one["count"], "with": ", ".join(one["with"])}
        yield words % said
    if "break" in found:
        one = found["break"]
        words = _("From %(packs)s packs on a pack costs less than %(price)s.")
        yield words % {"packs": one["from_packs"], "price": amount(showing.minor(one["first_price"]))}
    if "least_order" in found:
        one = found["least_order"]
        words = _("They take orders from %(least)s on; this delivery comes to %(value)s.")
        yield words % {"least": amount(one["least_minor"]), "value": amount(one["value_minor"])}


def _days(found: dict[str, Any]) -> Iterator[str]:
    if "extra_packs" in found:
        count = found["extra_packs"]
        yield ngettext(
            "One pack more than the pours need: so many they sell, or so it costs less.",
            "%(count)s packs more than the pours need: so many they sell, or so it costs less.",
            count,
        ) % {"count": count}
    if "order_days" in found:
        yield _("They take orders on: %(days)s.") % {"days": supplier_terms.weekdays(found["order_days"])}
    if "delivery_days" in found:
        yield _("They deliver on: %(days)s.") % {"days": supplier_terms.weekdays(found["delivery_days"])}


def _price(row: Any, *, found: dict[str, Any]) -> Iterator[str]:
    if "agreement" in found:
        one = found["agreement"]
        words = _("Called off at the agreed rate of %(number)s, which holds until %(until)s.")
        yield words % {"number": one["number"], "until": showing.day(date.fromisoformat(one["valid_until"]))}
    if "valid_until" in found:
        until = date.fromisoformat(found["valid_until"])
        if row.order_by_date > until:
            words = _("The price holds until %(until)s only. Ask for it again, or order before.")
        else:
            words = _("The price holds until %(until)s.")
        yield words % {"until": showing.day(until)}
