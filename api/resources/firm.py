"""Who asks, and the firm's people."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import Named, RowId, Shown, Typed
from api.pagination import PageAsked
from api.resource import Resource
from projects.access.permissions import Permission
from projects.access.roles import Role
from projects.queries import sites as rows
from projects.services import people
from projects.services.people import MailAct, PersonAct


class FirmShown(Shown):
    id = serializers.IntegerField(source="firm_id")
    name = serializers.CharField(source="firm_name")
    currency = serializers.CharField()
    locale = serializers.CharField()
    time_zone = serializers.CharField()


class Sorted(serializers.ListField):
    """A set, shown in order."""

    def to_representation(self, data: Any) -> list[Any]:
        return super().to_representation(sorted(data))


class MeShown(Shown):
    name = serializers.CharField()
    firm = FirmShown(source="*")
    roles = Sorted(child=serializers.CharField())
    permissions = Sorted(child=serializers.CharField())
    site_ids = Sorted(
        child=serializers.IntegerField(), allow_null=True, help_text="Null: every site of the firm."
    )


class PersonTyped(Typed):
    username = serializers.CharField(max_length=150)
    name = serializers.CharField(max_length=120)
    role = serializers.ChoiceField(choices=[role.value for role in Role])
    site_ids = serializers.ListField(child=RowId(), required=False, max_length=200)


class MailTyped(Typed):
    username = serializers.CharField(max_length=150)
    email = serializers.EmailField(
        max_length=254, allow_blank=True, help_text="Where letters reach the person; empty: none."
    )


class MailShown(Shown):
    username = serializers.CharField()
    name = serializers.CharField()
    email = serializers.CharField()


class MembershipShown(Shown):
    id = serializers.IntegerField()
    username = serializers.CharField(source="person.username")
    name = serializers.CharField(source="person.name")
    role = serializers.CharField()
    sites = Named(many=True)


class Me(Resource):
    @doc.reads("read_me", shown=MeShown, says="Who you are, in which firm, and what you may do.")
    def get(self, request: Request) -> Response:
        del request
        return self.show(self.actor, as_=MeShown)


class People(Resource):
    reading_needs = Permission.EDIT_SITES

    @doc.lists("list_people", shown=MembershipShown, says="Who works for the firm in which role, by name.")
    def get(self, request: Request) -> Response:
        del request
        asked = self.asked(PageAsked)
        return self.page(pagination.sliced(asked, of=rows.memberships(self.actor)), as_=MembershipShown)

    @doc.acts(
        "admit_person",
        types=PersonTyped,
        shown=MembershipShown,
        made=True,
        says="Give a person a role in the firm. They sign in once the office has set their password.",
    )
    def post(self, request: Request) -> Response:
        del request
        typed: dict[str, Any] = self.typed(PersonTyped)
        role, site_ids = Role(typed.pop("role")), tuple(typed.pop("site_ids", ()))
        act = PersonAct(**typed, role=role, site_ids=site_ids)
        return self.do(people.admit, act=act, read=self._read, as_=MembershipShown, made=True)

    def _read(self, membership_id: int) -> Any:
        return rows.membership(self.actor, membership_id=membership_id)


class PersonMail(Resource):
    @doc.acts(
        "set_mail_address_of_person",
        types=MailTyped,
        shown=MailShown,
        says="Say where the firm's letters reach a person of the firm.",
    )
    def post(self, request: Request) -> Response:
        del request
        return self.do(people.set_email, act=MailAct(**self.typed(MailTyped)), as_=MailShown)
