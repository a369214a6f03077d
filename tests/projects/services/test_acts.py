"""An act is done once per key, and leaves one audit entry."""

import pytest
from django.db import IntegrityError

from projects.errors import KeyReused, NotAllowed
from projects.models import AuditEntry, IdempotencyKey, Site
from projects.services import sites
from projects.services.acts import business_act
from projects.services.sites import NameTaken, SiteAct
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def _act(name: str = "Weir Bank") -> SiteAct:
    return SiteAct(name=name, place="", opened_date=TODAY)


def test_same_key_and_act_gives_the_first_result_and_one_row():
    team = cast()

    first = sites.open_site(actor=team.alice, act=_act(), key="k-1", now=NOW)
    again = sites.open_site(actor=team.alice, act=_act(), key="k-1", now=NOW)

    assert again == first
    assert Site.objects.filter(name="Weir Bank").count() == 1
    assert AuditEntry.objects.filter(act="sites.open_site", subject_id=first.pk).count() == 1


def test_same_key_with_another_act_is_refused_and_writes_nothing():
    team = cast()
    sites.open_site(actor=team.alice, act=_act(), key="k-1", now=NOW)

    with pytest.raises(KeyReused):
        sites.open_site(actor=team.alice, act=_act("Other Bank"), key="k-1", now=NOW)

    assert not Site.objects.filter(name="Other Bank").exists()


def test_keys_of_two_firms_do_not_meet():
    team = cast()

    ours = sites.open_site(actor=team.alice, act=_act(), key="k-1", now=NOW)
    theirs = sites.open_site(actor=team.charlie, act=_act(), key="k-1", now=NOW)

    assert (ours.firm_id, theirs.firm_id) == (team.firm.pk, team.other_firm.pk)


def test_refused_act_frees_its_key():
    team = cast()

    with pytest.raises(NameTaken):
        sites.open_site(actor=team.alice, act=_act("Mill Yard"), key="k-1", now=NOW)

    assert not IdempotencyKey.objects.filter(key="k-1").exists()


def test_act_that_the_role_does_not_do_is_refused():
    team = cast()

    with pytest.raises(NotAllowed):
        sites.open_site(actor=team.bob, act=_act(), key="k-1", now=NOW)


def test_rule_of_the_database_that_an_act_breaks_is_not_taken_for_a_repeated_key():
    team = cast()

    @business_act(result=Site)
    def open_twice(*, actor, act, key, now):
        del act, key, now
        return Site.objects.create(firm_id=actor.firm_id, name="Mill Yard", opened_date=TODAY)

    with pytest.raises(IntegrityError):
        open_twice(actor=team.alice, act={}, key="k-1", now=NOW)

    assert not IdempotencyKey.objects.filter(key="k-1").exists()
