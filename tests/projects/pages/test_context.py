"""The frame of a page: which entries a role sees, and which is the current one."""

from __future__ import annotations

from types import ModuleType
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import RequestFactory, override_settings
from django.urls import include, path

from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.access.roles import PERMISSIONS
from projects.models.person import Role
from projects.pages import context


def answer(_request: object) -> HttpResponse:
    return HttpResponse()


def app(name: str, **places: str) -> object:
    return include(([path(where, answer, name=word) for word, where in places.items()], name))


URLS = ModuleType("urls_of_the_frame")
URLS.urlpatterns = [  # type: ignore[attr-defined] # a module made for this test
    path("slabs/", app("estimates", slabs="")),
    path("", app("projects", audit="acts/", worker="worker.js")),
    path(
        "",
        app(
            "inventory",
            today="",
            plan="plan/",
            orders="orders/",
            stores="stores/",
            suppliers="who/",
            supplier_bills="bills/",
            spend="spend/",
            phone="phone/",
            phone_state="phone/state/",
        ),
    ),
]


def seen(
    *roles: Role,
    at: str = "/",
    more: frozenset[Permission] = frozenset(),
    site_ids: frozenset[int] | None = None,
) -> dict[str, Any]:
    actor = Actor(
        person_id=1,
        name="Alice",
        firm_id=1,
        firm_name="Tarn and Daughters",
        currency="INR",
        locale="en_IN",
        time_zone="Asia/Kolkata",
        profile="is",
        roles=frozenset(roles),
        permissions=frozenset[Permission]().union(*(PERMISSIONS[role] for role in roles)) | more,
        site_ids=site_ids,
    )
    request = RequestFactory().get(at)
    request.actor = actor
    with override_settings(ROOT_URLCONF=URLS):
        return context.frame(request)


@pytest.mark.parametrize(
    ("role", "labels"),
    [
        (Role.OFFICE, "Today Slabs Plan Orders Stores Suppliers Supplier bills Spend"),
        (Role.OWNER, "Today Slabs Plan Orders Stores Suppliers Supplier bills Spend Acts"),
        (Role.SITE, "Today Slabs Orders Stores"),
    ],
)
def test_list_holds_what_the_role_may_see(role: Role, labels: str) -> None:
    assert " ".join(str(entry["label"]) for entry in seen(role)["nav"]) == labels


def test_site_manager_sees_spend_when_the_firm_shows_money() -> None:
    nav = seen(Role.SITE, more=frozenset({Permission.SEE_MONEY}))["nav"]

    labels = ["Today", "Slabs", "Orders", "Stores", "Supplier bills", "Spend"]
    assert [str(entry["label"]) for entry in nav] == labels


def test_who_works_on_sites_has_forms_on_the_phone() -> None:
    found = seen(Role.SITE, site_ids=frozenset({1}))

    assert str(found["nav"][-1]["label"]) == "On this phone"
    assert found["frame"]["keeps_forms"] is True
    assert seen(Role.OWNER, site_ids=frozenset({1}))["frame"]["keeps_forms"] is False


@pytest.mark.parametrize(
    ("at", "current"), [("/", ["Today"]), ("/orders/17/", ["Orders"]), ("/elsewhere/", [])]
)
def test_current_entry_is_the_one_whose_pages_one_is_in(at: str, current: list[str]) -> None:
    assert [str(e["label"]) for e in seen(Role.OFFICE, at=at)["nav"] if e["current"]] == current


def test_frame_carries_the_firms_locale_and_currency() -> None:
    frame = seen(Role.OFFICE)["frame"]

    assert (frame["firm"], frame["locale"], frame["currency"], frame["money"]) == (
        "Tarn and Daughters",
        "en_IN",
        "INR",
        True,
    )


def test_stranger_gets_an_empty_frame() -> None:
    found = context.frame(RequestFactory().get("/"))

    assert (found["nav"], set(found["frame"])) == ([], {"as_of"})
