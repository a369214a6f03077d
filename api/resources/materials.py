"""The firm's materials, the packs in which it buys them, their rates, and dated needs."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import Day, MaterialNamed, PourNamed, Price, Quantity, RowId, Shown, Typed, Whole
from api.pagination import PageAsked
from api.resource import Resource
from estimates.queries import materials as rows
from estimates.queries import rates as rate_rows
from estimates.queries import requirements as need_rows
from estimates.services import materials, rates
from estimates.services.materials import AdoptionAct, PackAct, TimingAct
from estimates.services.rates import LARGEST as LARGEST_RATE
from estimates.services.rates import RateAct
from projects.access.permissions import Permission

_RATE_HELP = "Ten-thousandths of a minor unit, per shown unit or kilogram."


class RateTyped(Typed):
    from_date = Day()
    per = serializers.ChoiceField(choices=["unit", "kg"], required=False, help_text="Shown unit or kilogram.")
    basic = Whole(max_value=LARGEST_RATE, help_text=_RATE_HELP)
    freight = Whole(max_value=LARGEST_RATE, required=False, help_text=_RATE_HELP)
    loading = Whole(max_value=LARGEST_RATE, required=False, help_text=_RATE_HELP)
    tax = Whole(max_value=LARGEST_RATE, required=False, help_text="Tax that cannot be recovered, as above.")
    source = serializers.CharField(max_length=200, required=False, allow_blank=True)  # type: ignore[assignment]  # its name on the wire


class PackTyped(Typed):
    name = serializers.CharField(max_length=60)
    content = Whole(min_value=1, help_text="Stock units in one pack.")
    source = serializers.CharField(max_length=200, help_text="Who says how much it holds.")  # type: ignore[assignment]  # its name on the wire


class TimingTyped(Typed):
    lead_days = serializers.IntegerField(min_value=0, max_value=365)
    shelf_days = serializers.IntegerField(min_value=1, max_value=365, allow_null=True)
    warn_days = serializers.IntegerField(
        min_value=1,
        max_value=365,
        required=False,
        allow_null=True,
        help_text="Age at which it is pointed out.",
    )


class AdoptionTyped(Typed):
    steel_grade = serializers.CharField(max_length=20, required=False)
    beside = serializers.BooleanField(required=False)


class MaterialsAsked(PageAsked):
    on = Day(
        required=False, allow_null=True, default=None, help_text="Day of the rates; today when left out."
    )


class NeedsAsked(PageAsked):
    until = Day(required=False, allow_null=True, default=None)
    slab_id = RowId(required=False, allow_null=True, default=None)


class PackShown(Shown):
    id = serializers.IntegerField()
    name = serializers.CharField()
    content = Quantity("content")
    mass_g = serializers.IntegerField(allow_null=True, help_text="Steel sold by mass: grams in one pack.")
    source = serializers.CharField()  # type: ignore[assignment]  # its name on the wire


class RateShown(Shown):
    id = serializers.IntegerField()
    material = MaterialNamed()
    from_date = serializers.DateField()
    per = serializers.CharField(help_text="unit (the shown unit) or kg.")
    basic = Price()
    freight = Price()
    loading = Price()
    tax = Price()
    landed = Price(help_text="All in.")
    source = serializers.CharField()  # type: ignore[assignment]  # its name on the wire
    set_at = serializers.DateTimeField()


class MaterialShown(Shown):
    id = serializers.IntegerField()
    code = serializers.CharField()
    name = serializers.CharField()
    stock_unit = serializers.CharField()
    shown_unit = serializers.CharField(source="show_unit")
    shown_factor = serializers.IntegerField(source="show_factor", help_text="Stock units in one shown unit.")
    use_method = serializers.CharField(help_text="slip or count.")
    stocked = serializers.BooleanField()
    size_mm = serializers.IntegerField(allow_null=True, help_text="Bar size.")
    grade = serializers.CharField()
    nominal_mg_per_mm = serializers.IntegerField(allow_null=True, help_text="Steel: nominal mass, g/m.")
    lead_days = serializers.IntegerField(help_text="Working days before the pour by which it must be there.")
    shelf_days = serializers.IntegerField(allow_null=True)
    warn_days = serializers.IntegerField(allow_null=True)
    packs = PackShown(many=True)


class PricedMaterialShown(Shown):
    material = MaterialShown()
    landed = Price(source="rate.landed", default=None, help_text="The rate of the day, all in.")
    per = serializers.CharField(source="rate.per", default=None, allow_null=True)
    money_fields = ("per",)


class NeedShown(Shown):
    id = serializers.IntegerField()
    pour = PourNamed()
    material = MaterialNamed()
    need_date = serializers.DateField()
    quantity = Quantity("quantity", help_text="Net and allowance, not rounded to packs.")


class AdoptedShown(Shown):
    id = serializers.IntegerField(source="firm_id")
    name = serializers.CharField(source="firm_name")


class _Material(Resource):
    def _read(self, material_id: int) -> Any:
        return rows.one(self.actor, material_id=material_id)


class Materials(Resource):
    @doc.lists(
        "list_materials",
        shown=PricedMaterialShown,
        asks=MaterialsAsked,
        says="The firm's materials with packs and the rate of a day.",
    )
    def get(self, request: Request) -> Response:
        del request
        asked = self.asked(MaterialsAsked)
        on = asked["on"] or self.today
        found = pagination.positioned(
            asked, rows=lambda start, count: rows.listing(self.actor, on=on, start=start, count=count)
        )
        return self.page(found, as_=PricedMaterialShown)


class Adoption(Resource):
    @doc.acts(
        "adopt_materials",
        types=AdoptionTyped,
        shown=AdoptedShown,
        says="Take over the standard materials and packs of the firm's profile that it does not have yet.",
    )
    def post(self, request: Request) -> Response:
        del request
        act = AdoptionAct(**self.typed(AdoptionTyped))
        return self.do(materials.adopt, act=act, read=lambda _firm_id: self.actor, as_=AdoptedShown)


class Material(_Material):
    @doc.reads("read_material", shown=MaterialShown, says="One material with its packs.")
    def get(self, request: Request, material_id: int) -> Response:
        del request
        return self.show(self._read(material_id), as_=MaterialShown)


class Timing(_Material):
    @doc.acts(
        "set_timing",
        types=TimingTyped,
        shown=MaterialShown,
        says="Set how long before a pour a material must be there, and how long it keeps.",
    )
    def post(self, request: Request, material_id: int) -> Response:
        del request
        act = TimingAct(material_id=material_id, **self.typed(TimingTyped))
        return self.do(materials.set_timing, act=act, read=self._read, as_=MaterialShown)


class Packs(_Material):
    @doc.acts("add_pack", types=PackTyped, shown=MaterialShown, made=True, says="Add a pack to a material.")
    def post(self, request: Request, material_id: int) -> Response:
        del request
        act = PackAct(material_id=material_id, **self.typed(PackTyped))
        return self.do(
            materials.add_pack,
            act=act,
            read=lambda _pack_id: self._read(material_id),
            as_=MaterialShown,
            made=True,
        )


class Rates(_Material):
    reading_needs = Permission.SEE_MONEY

    @doc.lists("list_rates", shown=RateShown, says="A material's rates, the latest first.")
    def get(self, request: Request, material_id: int) -> Response:
        del request
        asked = self.asked(PageAsked)
        material = self._read(material_id)
        found = rate_rows.history(self.actor, material_id=material.pk, count=pagination.FURTHEST)
        return self.page(pagination.sliced(asked, of=found), as_=RateShown)

    @doc.acts(
        "set_rate",
        types=RateTyped,
        shown=RateShown,
        made=True,
        says="Set a material's rate from a day on; bills issued earlier keep theirs.",
    )
    def post(self, request: Request, material_id: int) -> Response:
        del request
        act = RateAct(material_id=material_id, **self.typed(RateTyped))
        return self.do(rates.set_rate, act=act, as_=RateShown, made=True)


class Needs(Resource):
    @doc.lists(
        "list_requirements",
        shown=NeedShown,
        asks=NeedsAsked,
        says="The dated needs of the pours, by date: bill × pour programme, derived in the background.",
    )
    def get(self, request: Request) -> Response:
        del request
        asked = self.asked(NeedsAsked)
        found = pagination.positioned(
            asked,
            rows=lambda start, count: need_rows.listing(
                self.actor, until=asked["until"], slab_id=asked["slab_id"], start=start, count=count
            ),
        )
        return self.page(found, as_=NeedShown)
