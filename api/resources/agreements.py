"""Rate agreements, and the orders that are called off against them."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import Day, MaterialNamed, Named, Price, Reason, RowId, Shown, Typed, Whole
from api.pagination import PageAsked
from api.resource import Resource
from api.resources.orders import OrderInFull, read_order
from inventory.queries import agreements as rows
from inventory.services import agreements
from inventory.services.agreements import MOST_DAYS, AgreementAct, CallOffAct, EndAct
from inventory.services.orders import MOST_PACKS


class AgreementTyped(Typed):
    supplier_id = RowId()
    pack_id = RowId()
    pack_price = Whole(help_text="Ten-thousandths of a minor unit for one pack on site.")
    total_packs = serializers.IntegerField(min_value=1, max_value=MOST_PACKS)
    from_date = Day()
    valid_until = Day()
    site_id = RowId(required=False, allow_null=True, help_text="Null: every site.")
    lead_days = serializers.IntegerField(
        min_value=0, max_value=MOST_DAYS, required=False, help_text="Working days from call-off to delivery."
    )
    remark = serializers.CharField(max_length=200, required=False, allow_blank=True)


class CallOffTyped(Typed):
    site_id = RowId()
    packs = serializers.IntegerField(min_value=1, max_value=MOST_PACKS)
    expected_date = Day()
    pour_id = RowId(required=False, allow_null=True)


class AgreementShown(Shown):
    id = serializers.IntegerField(source="row.id")
    number = serializers.CharField(source="row.number")
    supplier = Named(source="row.supplier")
    site = Named(source="row.site", allow_null=True)
    material = MaterialNamed(source="row.material")
    pack = Named(source="row.pack")
    pack_price = Price(source="row.pack_price")
    total_packs = serializers.IntegerField(source="row.total_packs")
    called_off = serializers.IntegerField(help_text="Packs ordered, less what will not come.")
    left = serializers.IntegerField(help_text="Packs that can still be called off.")
    from_date = serializers.DateField(source="row.from_date")
    valid_until = serializers.DateField(source="row.valid_until")
    lead_days = serializers.IntegerField(source="row.lead_days")
    holds = serializers.BooleanField(help_text="It can be called off today.")
    remark = serializers.CharField(source="row.remark")
    ended_at = serializers.DateTimeField(source="row.ended_at", allow_null=True)
    end_reason = serializers.CharField(source="row.end_reason")


class _Agreement(Resource):
    def _read(self, agreement_id: int) -> Any:
        return rows.one(self.actor, agreement_id, today=self.today)


class Agreements(_Agreement):
    @doc.lists("list_rate_agreements", shown=AgreementShown, says="The rates agreed, newest first.")
    def get(self, request: Request) -> Response:
        del request
        found = pagination.positioned(
            self.asked(PageAsked),
            rows=lambda start, count: rows.listing(self.actor, today=self.today, start=start, count=count),
        )
        return self.page(found, as_=AgreementShown)

    @doc.acts(
        "agree_rate",
        types=AgreementTyped,
        shown=AgreementShown,
        made=True,
        says="Agree on a price for a total number of packs until a day.",
    )
    def post(self, request: Request) -> Response:
        del request
        act = AgreementAct(**self.typed(AgreementTyped))
        return self.do(agreements.agree, act=act, read=self._read, as_=AgreementShown, made=True)


class Agreement(_Agreement):
    @doc.reads("read_rate_agreement", shown=AgreementShown, says="One agreement with what is called off.")
    def get(self, request: Request, agreement_id: int) -> Response:
        del request
        return self.show(self._read(agreement_id), as_=AgreementShown)


class End(_Agreement):
    @doc.acts("end_rate_agreement", types=Reason, shown=AgreementShown, says="End it before its time.")
    def post(self, request: Request, agreement_id: int) -> Response:
        del request
        act = EndAct(agreement_id=agreement_id, **self.typed(Reason))
        return self.do(agreements.end, act=act, read=self._read, as_=AgreementShown)


class CallOff(Resource):
    @doc.acts(
        "call_off",
        types=CallOffTyped,
        shown=OrderInFull,
        made=True,
        says="Order at the agreed rate: approved and sent at once, unless the owner has to approve so much.",
    )
    def post(self, request: Request, agreement_id: int) -> Response:
        del request
        act = CallOffAct(agreement_id=agreement_id, **self.typed(CallOffTyped))

        def read(order_id: int) -> Any:
            return read_order(self.actor, order_id)

        return self.do(agreements.call_off, act=act, read=read, as_=OrderInFull, made=True)
