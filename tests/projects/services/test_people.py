"""People are admitted by the office of their own firm; wrong passwords lock a name for a while."""

from dataclasses import replace

import pytest
from django.core.cache import cache

from projects.access.permissions import Permission
from projects.errors import NotAllowed, NotFound
from projects.models import AuditEntry, Membership, Person, Role
from projects.queries.people import addresses
from projects.services import drawings, lockout, numbers, people, slabs
from projects.services.drawings import DrawingAct, DrawingDiffers
from projects.services.people import FirmAct, MailAct, PersonAct, UsernameTaken
from projects.services.sites import NameTaken
from projects.services.slabs import SlabAct
from tests.factories.cast import NOW, PASSWORD, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def test_person_of_another_firm_is_not_taken_over():
    team = cast()

    with pytest.raises(UsernameTaken):
        people.admit(actor=team.alice, act=PersonAct("charlie", "Charlie", Role.OFFICE), key="k", now=NOW)


def test_sites_of_another_firm_are_not_given():
    team = cast()
    act = PersonAct("dora", "Dora", Role.SITE, site_ids=(team.site.pk, team.charlie_site.pk))

    with pytest.raises(NotFound):
        people.admit(actor=team.alice, act=act, key="k", now=NOW)

    assert not Person.objects.filter(username="dora").exists()


def test_person_without_a_password_cannot_sign_in():
    team = cast()

    people.admit(actor=team.alice, act=PersonAct("dora", "Dora", Role.OWNER), key="k", now=NOW)

    assert not Person.objects.get(username="dora").has_usable_password()


def test_one_person_may_hold_two_roles():
    team = cast()

    people.admit(actor=team.alice, act=PersonAct("alice", "Alice", Role.OWNER), key="k", now=NOW)

    roles = Membership.objects.filter(person__username="alice").values_list("role", flat=True)
    assert set(roles) == {"office", "owner"}


def test_site_manager_admits_nobody():
    team = cast()

    with pytest.raises(NotAllowed):
        people.admit(actor=team.bob, act=PersonAct("dora", "Dora", Role.SITE), key="k", now=NOW)


def test_password_of_somebody_of_another_firm_is_not_set():
    team = cast()

    with pytest.raises(NotFound):
        people.set_password(actor=team.charlie, username="bob", password="another-long-word", now=NOW)

    assert Person.objects.get(username="bob").check_password(PASSWORD)


def test_letters_reach_those_who_may_do_what_they_are_about():
    team = cast()
    for name, email in (("alice", "alice@orchard.example"), ("bob", "bob@orchard.example")):
        people.set_email(actor=team.alice, act=MailAct(name, email), key=name, now=NOW)

    assert addresses(team.olga, of=Permission.PLAN_ORDERS) == ["alice@orchard.example"]
    assert addresses(team.charlie, of=Permission.PLAN_ORDERS) == []


def test_address_of_somebody_of_another_firm_is_not_set():
    team = cast()

    with pytest.raises(NotFound):
        people.set_email(actor=team.charlie, act=MailAct("bob", "x@y.example"), key="k", now=NOW)


def test_password_of_a_person_with_two_roles_is_set():
    team = cast()
    people.admit(actor=team.alice, act=PersonAct("bob", "Bob", Role.OWNER), key="k", now=NOW)

    people.set_password(actor=team.alice, username="bob", password="another-long-word", now=NOW)

    assert Person.objects.get(username="bob").check_password("another-long-word")


def test_password_is_set_without_passing_through_the_audit():
    team = cast()

    people.set_password(actor=team.alice, username="bob", password="wet-cure-seven", now=NOW)

    assert Person.objects.get(username="bob").check_password("wet-cure-seven")
    assert "wet-cure-seven" not in str(list(AuditEntry.objects.values_list("detail", flat=True)))


def test_name_of_a_founder_is_used_once():
    cast()
    act = FirmAct("X", "EUR", "de", "Europe/Berlin", "alice", "Alice")

    with pytest.raises(UsernameTaken):
        people.found_firm(act=act, password="x", now=NOW)


def test_fifth_wrong_password_locks_the_name_at_that_address_only():
    cache.clear()
    for _ in range(lockout.LIMIT):
        assert not lockout.is_locked(username="bob", address="192.0.2.7")
        lockout.note_failure(username="bob", address="192.0.2.7")

    assert lockout.is_locked(username="bob", address="192.0.2.7")
    assert not lockout.is_locked(username="bob", address="192.0.2.8")
    assert not lockout.is_locked(username="alice", address="192.0.2.7")
    lockout.forget(username="bob", address="192.0.2.7")
    assert not lockout.is_locked(username="bob", address="192.0.2.7")


def test_numbers_count_per_firm_kind_and_year():
    team = cast()

    made = [
        numbers.next_number(firm_id=firm, kind=kind, now=now)
        for firm, kind, now in (
            (team.firm.pk, "PO", NOW),
            (team.firm.pk, "PO", NOW),
            (team.firm.pk, "GR", NOW),
            (team.other_firm.pk, "PO", NOW),
            (team.firm.pk, "PO", NOW.replace(year=2027)),
        )
    ]

    assert made == ["PO-2026-0001", "PO-2026-0002", "GR-2026-0001", "PO-2026-0001", "PO-2027-0001"]


def test_drawing_revision_is_recorded_once_and_a_changed_one_refused():
    team = cast()
    act = DrawingAct(site_id=team.site.pk, number="D-1", revision="A", dated=TODAY, engineer="N. Orveld")

    first = drawings.receive(actor=team.alice, act=act, now=NOW)

    assert drawings.receive(actor=team.alice, act=act, now=NOW) == first
    changed = replace(act, engineer="P. Havel")
    with pytest.raises(DrawingDiffers):
        drawings.receive(actor=team.alice, act=changed, now=NOW)


def test_slab_name_is_used_once_in_a_site():
    team = cast()
    slabs.add(actor=team.alice, act=SlabAct(team.site.pk, "roof"), key="a", now=NOW)
    slabs.add(actor=team.alice, act=SlabAct(team.other_site.pk, "roof"), key="b", now=NOW)

    with pytest.raises(NameTaken):
        slabs.add(actor=team.alice, act=SlabAct(team.site.pk, "roof"), key="c", now=NOW)
