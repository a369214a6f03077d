"""The cast: Alice (office), Bob (site manager) and Olga (owner) of one firm; Charlie of another firm."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime

from projects.access import actor as actors
from projects.access.actor import Actor
from projects.models import Firm, Person, Role, Site
from projects.services import people, sites
from projects.services.people import FirmAct, PersonAct
from projects.services.sites import SiteAct

NOW = datetime(2026, 5, 4, 9, 0, tzinfo=UTC)
TODAY = date(2026, 5, 4)
PASSWORD = "slab-edge-beam-9"


@dataclass(frozen=True)
class Cast:
    """Two firms with their people and sites; Bob sees `site` only."""

    firm: Firm
    site: Site
    other_site: Site
    alice: Actor
    bob: Actor
    olga: Actor
    other_firm: Firm
    charlie: Actor
    charlie_site: Site


def actor(username: str) -> Actor:
    """Build the actor of a person anew, as a request would."""
    found = actors.for_person(Person.objects.get(username=username))
    assert found is not None
    return found


def cast(*, approval_limit_minor: int = 0) -> Cast:
    """Found both firms through the services."""
    alice = _firm(name="Orchard Lane Builders", username="alice", person="Alice", limit=approval_limit_minor)
    charlie = _firm(name="Lower Quay Works", username="charlie", person="Charlie", limit=0)
    site = _site(alice, "Mill Yard")
    other_site = _site(alice, "Tannery Row")
    charlie_site = _site(charlie, "Ferry Steps")
    _admit(alice, username="bob", name="Bob", role=Role.SITE, site_ids=(site.pk,))
    _admit(alice, username="olga", name="Olga", role=Role.OWNER)
    return Cast(
        firm=Firm.objects.get(pk=alice.firm_id),
        site=site,
        other_site=other_site,
        alice=actor("alice"),
        bob=actor("bob"),
        olga=actor("olga"),
        other_firm=Firm.objects.get(pk=charlie.firm_id),
        charlie=charlie,
        charlie_site=charlie_site,
    )


def _firm(*, name: str, username: str, person: str, limit: int) -> Actor:
    act = FirmAct(
        name=name,
        currency="INR",
        locale="en_IN",
        time_zone="Asia/Kolkata",
        username=username,
        person=person,
        approval_limit_minor=limit,
        cash_limit_minor=500_000,
    )
    people.found_firm(act=act, password=PASSWORD, now=NOW)
    return actor(username)


def _site(by: Actor, name: str) -> Site:
    act = SiteAct(name=name, place="", opened_date=TODAY)
    return sites.open_site(actor=by, act=act, key=f"site-{by.firm_id}-{name}", now=NOW)


def _admit(by: Actor, *, username: str, name: str, role: Role, site_ids: tuple[int, ...] = ()) -> None:
    act = PersonAct(username=username, name=name, role=role, site_ids=site_ids)
    people.admit(actor=by, act=act, key=f"person-{username}", now=NOW)
    people.set_password(actor=by, username=username, password=PASSWORD, now=NOW)
