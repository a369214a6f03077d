"""The batch card of a design, for the mixer and the heaps of the day."""

from __future__ import annotations

from django.http import HttpResponse
from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request

from api import doc
from api.fields import Asked
from api.resource import Resource
from estimates.documents import batch
from estimates.queries import batching
from estimates.queries.batching import Wish


def _figure(*, least: float, most: float, says: str) -> serializers.FloatField:
    return serializers.FloatField(required=False, min_value=least, max_value=most, help_text=says)


class CardAsked(Asked):
    by_mass = serializers.BooleanField(
        required=False, default=False, help_text="Weighed; else by gauge boxes."
    )
    concrete_m3 = _figure(least=0.1, most=5_000, says="The pour; left out: the whole slab.")
    bag_kg = _figure(least=1, most=100, says="Left out: the bag in which the firm buys cement.")
    mixer_l = _figure(least=1, most=5_000, says="Concrete that one batch makes; left out: the usual mixer's.")
    sand_moisture_percent = _figure(least=0, most=50, says="Left out: not known, and no water is taken off.")
    sand_bulking_percent = _figure(least=0, most=50, says="For gauge boxes; left out: not known.")
    stone_moisture_percent = _figure(least=0, most=50, says="Left out: not known.")


class CardPdf(Resource):
    @doc.reads_file("read_batch_card_pdf", kind="pdf", says="A design's batch card as PDF.", asks=CardAsked)
    def get(self, request: Request, design_id: int) -> HttpResponse:
        del request
        wish = Wish(**self.asked(CardAsked))
        sheet = batching.of_design(self.actor, design_id=design_id, wish=wish)
        content = batch.pdf(self.actor, sheet=sheet, at=timezone.now())
        return doc.file(f"batch-card-{design_id}.pdf", content=content)
