"""The record of acts, for the owner."""

from __future__ import annotations

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import Moment, Named, RowId, Shown
from api.pagination import PageAsked
from api.resource import Resource
from projects.access.permissions import Permission
from projects.queries import audit as rows


class ActsAsked(PageAsked):
    person_id = RowId(required=False, allow_null=True, default=None)
    site_id = RowId(required=False, allow_null=True, default=None)
    kind = serializers.ChoiceField(choices=list(rows.KINDS), required=False, default="")
    since = Moment(required=False, allow_null=True, default=None, help_text="Recorded from then on.")
    until = Moment(required=False, allow_null=True, default=None, help_text="Recorded before then.")


class ActShown(Shown):
    id = serializers.IntegerField()
    act = serializers.CharField(help_text="The service and what it did, as deliveries.record.")
    person = Named(allow_null=True)
    signed = serializers.CharField(help_text="The name as it was then.")
    happened_at = serializers.DateTimeField(allow_null=True, help_text="As the act says; null: as recorded.")
    recorded_at = serializers.DateTimeField()
    site = Named(allow_null=True)
    device = serializers.CharField()
    subject_id = serializers.IntegerField(allow_null=True, help_text="What it made or changed.")


class Acts(Resource):
    reading_needs = Permission.SEE_AUDIT

    @doc.lists("list_acts", shown=ActShown, asks=ActsAsked, says="Who did what, the last recorded first.")
    def get(self, request: Request) -> Response:
        del request
        wanted = rows.Wanted(**self.asked(ActsAsked))
        return self.page(rows.acts(self.actor, wanted=wanted), as_=ActShown)
