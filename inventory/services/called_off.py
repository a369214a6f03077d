"""What an order takes from a rate agreement: its price, within its days and its total."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext as _

from estimates.models import Pack
from inventory.models import RateAgreement, Supplier
from inventory.queries import agreements as rows
from projects.access import scope
from projects.access.actor import Actor
from projects.errors import Refused
from projects.models import Site


class OtherAgreement(Refused):
    """The agreement is with another supplier, for another site or about another pack."""

    code = "other_agreement"


class AgreementOver(Refused):
    """The agreement has been ended, or its days are over or still to come."""

    code = "agreement_over"
    status = 409


class AgreementSpent(Refused):
    """Less is left of the agreement than shall be called off."""

    code = "agreement_spent"
    status = 409


def take(
    agreement_id: int, *, packs: int, pack: Pack, order_to: tuple[Supplier, Site], on: date, actor: Actor
) -> RateAgreement:
    """Return the agreement, locked, from which so many packs can be called off on a day; else refused."""
    found = scope.get(RateAgreement.objects.select_for_update(of=("self",)), actor, pk=agreement_id)
    supplier, site = order_to
    if (found.supplier_id, found.pack_id) != (supplier.pk, pack.pk) or found.site_id not in {None, site.pk}:
        message = _("%(number)s is with another supplier, for another site or about another pack.")
        raise OtherAgreement(message % {"number": found.number}, field="agreement_id")
    if found.ended_at is not None or not found.from_date <= on <= found.valid_until:
        message = _("%(number)s holds from %(from)s to %(until)s%(ended)s. Agree on a new rate.")
        ended = _(", and was ended") if found.ended_at is not None else ""
        params = {"number": found.number, "from": found.from_date, "until": found.valid_until, "ended": ended}
        raise AgreementOver(message % params, field="agreement_id")
    left = found.total_packs - rows.called_off(found)
    if packs > left:
        message = _("%(left)s packs are left of %(number)s; %(packs)s cannot be called off.")
        params = {"left": max(left, 0), "number": found.number, "packs": packs}
        raise AgreementSpent(message % params, field="packs", **params)
    return found
