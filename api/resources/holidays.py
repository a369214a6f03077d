"""The firm's holidays."""

from __future__ import annotations

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import Day, Nothing, Shown, Typed
from api.pagination import PageAsked
from api.resource import Resource
from projects.queries import holidays as rows
from projects.services import holidays
from projects.services.holidays import MOST_NAME, HolidayAct, WorkAct


class HolidayTyped(Typed):
    day = Day()
    name = serializers.CharField(max_length=MOST_NAME)


class HolidayShown(Shown):
    id = serializers.IntegerField()
    day = serializers.DateField()
    name = serializers.CharField()
    worked = serializers.BooleanField(help_text="Taken out again.")


class Holidays(Resource):
    @doc.lists("list_holidays", shown=HolidayShown, says="Days that are not worked, in their order.")
    def get(self, request: Request) -> Response:
        del request
        found = pagination.sliced(self.asked(PageAsked), of=rows.listing(self.actor))
        return self.page(found, as_=HolidayShown)

    @doc.acts(
        "put_holiday",
        types=HolidayTyped,
        shown=HolidayShown,
        made=True,
        says="Add a day that is not worked, or name it anew; the plan counts no working day on it.",
    )
    def post(self, request: Request) -> Response:
        del request
        return self.do(holidays.put, act=HolidayAct(**self.typed(HolidayTyped)), as_=HolidayShown, made=True)


class WorkHoliday(Resource):
    @doc.acts(
        "work_holiday", types=Nothing, shown=HolidayShown, says="Take a holiday out: the day is worked."
    )
    def post(self, request: Request, holiday_id: int) -> Response:
        del request
        act = WorkAct(holiday_id=holiday_id, **self.typed(Nothing))
        return self.do(holidays.work, act=act, as_=HolidayShown)
