"""What other works of a site use in a week, as the plan takes it."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import Figure, MaterialNamed, Quantity, RowId, Shown, Typed
from api.resource import Resource
from inventory.queries import other_use
from inventory.services.other_use import UseAct, set_use


class OtherUseTyped(Typed):
    material_id = RowId()
    a_week = Figure(
        required=False,
        allow_null=True,
        help_text="In the unit shown; 0 leaves it out of the plan, null takes the mean of the weeks again.",
    )


class OtherUseShown(Shown):
    material = MaterialNamed()
    a_week = Quantity("a_week", help_text="What the plan takes.")
    found = Quantity("found", help_text="The mean of the weeks on record.")
    weeks = serializers.ListField(
        child=serializers.IntegerField(), help_text="Stock units of each week on record, the latest last."
    )
    set_by_firm = serializers.SerializerMethodField()

    def get_set_by_firm(self, use: Any) -> bool:
        """Say whether the firm has set the figure itself."""
        return use.own is not None


class OtherUsesShown(Shown):
    rows = OtherUseShown(many=True)


class OtherUse(Resource):
    def _rows(self, site_id: int) -> dict[str, Any]:
        return {"rows": other_use.of_site(self.actor, site_id=site_id, today=self.today)}

    @doc.reads("list_other_use", shown=OtherUsesShown, says="What other works of a site use in a week.")
    def get(self, request: Request, site_id: int) -> Response:
        del request
        return self.show(self._rows(site_id), as_=OtherUsesShown)

    @doc.acts(
        "set_other_use",
        types=OtherUseTyped,
        shown=OtherUsesShown,
        says="Set what other works of a site use of a material in a week, for the plan.",
    )
    def post(self, request: Request, site_id: int) -> Response:
        del request
        act = UseAct(site_id=site_id, **self.typed(OtherUseTyped))
        return self.do(set_use, act=act, read=self._rows, as_=OtherUsesShown)
