"""The standards' values, and the firm's own figures in their place."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import Shown, Typed
from api.pagination import PageAsked
from api.resource import Resource
from estimates.queries import standards as rows
from estimates.services import figures
from estimates.services.figures import FigureAct

PROFILES = ("is", "en", "aci")


class ValuesAsked(PageAsked):
    profile = serializers.ChoiceField(choices=PROFILES, required=False, help_text="The firm's when left out.")
    search = serializers.CharField(
        max_length=80, required=False, default="", help_text="Words of key, meaning or source."
    )


class FigureTyped(Typed):
    profile = serializers.ChoiceField(choices=PROFILES)
    key = serializers.CharField(max_length=120)
    value = serializers.FloatField(allow_null=True, help_text="In the value's unit; null: the profile's own.")
    reason = serializers.CharField(max_length=400, help_text="On what it rests, and who says so.")


class ValueShown(Shown):
    key = serializers.CharField()
    meaning = serializers.CharField()
    unit = serializers.CharField()
    value = serializers.FloatField(help_text="The profile's.")
    source = serializers.CharField(help_text="Document, clause and how it is known.")  # type: ignore[assignment]  # its name on the wire
    sense = serializers.CharField(help_text="least, most, plain or fixed: a limit may only be tightened.")
    own = serializers.FloatField(allow_null=True, help_text="The firm's own figure, which holds.")
    own_words = serializers.CharField(help_text="When it was set, by whom and why.")


class FigureShown(Shown):
    id = serializers.IntegerField()
    profile = serializers.CharField()
    key = serializers.CharField()
    value = serializers.FloatField(allow_null=True)
    unit = serializers.CharField()
    replaces = serializers.FloatField()
    reason = serializers.CharField()
    set_at = serializers.DateTimeField()


class Values(Resource):
    @doc.lists(
        "list_standards",
        shown=ValueShown,
        asks=ValuesAsked,
        says="The values of a standards profile with their sources, and the firm's own figures beside them.",
    )
    def get(self, request: Request) -> Response:
        del request
        asked = self.asked(ValuesAsked)
        profile_id = asked.get("profile") or self.actor.profile
        found = rows.listing(self.actor, profile_id=profile_id, search=asked["search"])
        page = pagination.positioned(asked, rows=lambda start, count: found[start : start + count])
        return self.page(page, as_=ValueShown)


class Figures(Resource):
    @doc.acts(
        "set_figure",
        types=FigureTyped,
        shown=FigureShown,
        made=True,
        says=(
            "Set the firm's own figure for a value of a profile, or null for the profile's own again. "
            "A limit may only be tightened; bills issued before stay as they are."
        ),
    )
    def post(self, request: Request) -> Response:
        del request
        act = FigureAct(**self.typed(FigureTyped))
        return self.do(figures.set_own, act=act, read=self._read, as_=FigureShown, made=True)

    def _read(self, figure_id: int) -> Any:
        return rows.figure(self.actor, figure_id=figure_id)
