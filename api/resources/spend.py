"""What every slab has cost and will cost."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import MaterialNamed, Money, Named, Quantity, Shown, SlabNamed
from api.pagination import PageAsked, position_of
from api.resource import Resource
from inventory.queries import spend as rows
from projects.access.permissions import Permission


class AmountsShown(Shown):
    budget = Money()
    committed = Money(help_text="Open orders not yet received, and hire still planned.")
    received = Money(help_text="Taken in for the slab; stock until it is used.")
    billed = Money(help_text="Suppliers' accepted bills for it, as printed.")
    paid = Money(help_text="Paid on them.")
    used = Money(help_text="Cost so far.")
    to_come = Money()
    forecast = Money(help_text="Used and to come.")
    over_budget = Money(help_text="Forecast less budget.")
    usage_variance = Money(help_text="The part of it that comes from quantity.")
    price_variance = Money(help_text="The part of it that comes from price.")


class SlabSpendShown(Shown):
    slab = SlabNamed(source="row.slab")
    finished = serializers.BooleanField(source="row.finished")
    amounts = AmountsShown()


class MaterialSpendShown(Shown):
    material = MaterialNamed(source="figures.material")
    used = Quantity("figures.used", material="figures.material")
    amounts = AmountsShown()


class SlabSpendInFull(SlabSpendShown):
    materials = MaterialSpendShown(many=True)


class WhereaboutsShown(Shown):
    bought = Money(help_text="All that was bought or brought in: the sum of the others.")
    on_slabs = Money()
    wasted_for_slabs = Money()
    other_works = Money(help_text="Plaster, blockwork and whatever else of the sites is no slab.")
    in_stores = Money()
    lost_otherwise = Money()


class SiteSpendShown(Shown):
    site = Named()
    slabs = serializers.IntegerField()
    amounts = AmountsShown()
    other_works = Money(help_text="What works beside slabs have used.")


class BilledAndPaidShown(Shown):
    billed = Money()
    paid = Money()


class StandingShown(Shown):
    bills = Money(help_text="All bills less credit notes: for slabs, for no slab, and held.")
    held = Money()
    payments = Money(help_text="All payments: for slabs, for no slab, and in advance.")
    in_advance = Money()


class SpendShown(Shown):
    rows = SlabSpendShown(many=True, help_text="Those furthest over their budget first.")
    after = serializers.CharField(allow_null=True, help_text="Asks for the next page; null at the end.")
    of_all = serializers.IntegerField()
    total = AmountsShown(help_text="Of all slabs, not only of this page.")
    committed_for_stock = Money(help_text="Open orders not yet received that are for no pour.")
    whereabouts = WhereaboutsShown(help_text="Where the value of everything bought lies now.")
    hired_for_slabs = Money(help_text="Hire so far; with on_slabs and wasted_for_slabs it is used.")
    hired_for_no_slab = Money()
    by_site = SiteSpendShown(many=True)
    for_no_slab = BilledAndPaidShown(help_text="Billed and paid for stock, or for nothing that was received.")
    standing = StandingShown(
        allow_null=True, help_text="All bills and payments of the firm; null for one site's manager."
    )


class Spend(Resource):
    reading_needs = Permission.SEE_MONEY

    @doc.reads(
        "read_spend",
        shown=SpendShown,
        asks=PageAsked,
        says="What the slabs have cost and will cost against their budgets; for who may see money.",
    )
    def get(self, request: Request) -> Response:
        del request
        asked = self.asked(PageAsked)
        start, limit = position_of(asked["after"]), asked["limit"]
        found = rows.of_firm(self.actor, today=self.today, start=start, count=limit)
        after = str(start + limit) if start + limit < found.of_all else None
        shown: dict[str, Any] = {
            "rows": found.slabs,
            "after": after,
            "of_all": found.of_all,
            "total": found.total,
            "committed_for_stock": found.committed_for_stock,
            "whereabouts": found.whereabouts,
            "hired_for_slabs": found.hired_for_slabs,
            "hired_for_no_slab": found.hired_for_no_slab,
            "by_site": found.by_site,
            "for_no_slab": found.for_no_slab,
            "standing": found.standing,
        }
        return self.show(shown, as_=SpendShown)


class SpendOfSlab(Resource):
    reading_needs = Permission.SEE_MONEY

    @doc.reads(
        "read_slab_spend", shown=SlabSpendInFull, says="What one slab has cost and will cost, by material."
    )
    def get(self, request: Request, slab_id: int) -> Response:
        del request
        return self.show(rows.of_slab(self.actor, slab_id, today=self.today), as_=SlabSpendInFull)
