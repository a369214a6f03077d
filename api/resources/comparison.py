"""A slab against its drawing: designed, ordered, received, issued, wasted, left; over and short."""

from __future__ import annotations

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import MaterialNamed, Money, Quantity, Shown, SlabNamed
from api.resource import Resource
from inventory.queries import comparison as rows

OF = "figures.material"


class VariationShown(Shown):
    over_bp = serializers.IntegerField(help_text="Permitted excess in basis points of what the bill allows.")
    under_bp = serializers.IntegerField()
    source = serializers.CharField()  # type: ignore[assignment]  # its name on the wire


class ComparisonRowShown(Shown):
    material = MaterialNamed(source="figures.material")
    net = Quantity("judged.facts.net", material=OF, help_text="By the drawing.")
    allowance = Quantity("judged.facts.allowance", material=OF)
    designed = Quantity("judged.designed", material=OF, help_text="Net and allowance: what the bill allows.")
    ordered = Quantity("judged.facts.ordered", material=OF)
    open_order = Quantity("judged.facts.open_order", material=OF, help_text="Ordered and still to come.")
    spare_order = Quantity(
        "judged.facts.spare_order",
        material=OF,
        help_text="To come to the site for nobody, or for who needs it no more.",
    )
    on_hand = Quantity(
        "judged.facts.on_hand", material=OF, help_text="In the store, usable and free for this slab."
    )
    needed = Quantity("judged.facts.needed", material=OF, help_text="What the pours to come must still get.")
    stated = Quantity("stated", material=OF, help_text="By the delivery notes.")
    received = Quantity("judged.facts.received", material=OF, help_text="Found good.")
    rejected = Quantity("rejected", material=OF)
    short_of = Quantity("short_of", material=OF, help_text="Stated and not accepted.")
    issued = Quantity("judged.facts.issued", material=OF)
    returned = Quantity("judged.facts.returned", material=OF)
    used = Quantity("judged.used", material=OF, help_text="Issued less returned.")
    wasted = Quantity("judged.wasted", material=OF, help_text="A part of what was used.")
    cast = Quantity("judged.cast", material=OF)
    left = Quantity("judged.left", material=OF, help_text="Received for this slab less used.")
    in_store = Quantity("in_store", material=OF, help_text="All that the site's store holds.")
    overuse = Quantity("judged.overuse", material=OF, help_text="Used less designed.")
    shortage = Quantity("judged.shortage", material=OF)
    status = serializers.ChoiceField(
        source="judged.status.value", choices=["enough", "short", "over", "under"]
    )
    permitted = VariationShown(source="variation")
    need_date = serializers.DateField(allow_null=True)
    over = Money(source="over_minor", help_text="The overuse at the estimate rate.")
    short = Money(source="short_minor", help_text="The shortage at the estimate rate.")


class ComparisonShown(Shown):
    slab = SlabNamed(source="slab.slab")
    finished = serializers.BooleanField(source="slab.finished")
    bill_id = serializers.IntegerField(source="slab.bill.id", default=None, allow_null=True)
    rows = ComparisonRowShown(many=True)
    over = Money(source="over_minor")
    short = Money(source="short_minor")


class Comparison(Resource):
    @doc.reads(
        "compare_slab", shown=ComparisonShown, says="How a slab compares with its drawing, by material."
    )
    def get(self, request: Request, slab_id: int) -> Response:
        del request
        return self.show(rows.of_slab(self.actor, slab_id), as_=ComparisonShown)
