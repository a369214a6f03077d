from __future__ import annotations

import pytest

from projects.models import AuditEntry, Site
from tests.api.calls import code

pytestmark = [pytest.mark.django_db, pytest.mark.data]
SITE = {"name": "Kiln Field", "place": "", "opened_date": "2026-05-04"}


def test_act_sent_again_gives_the_first_result_and_says_so(alice):
    first = alice.post("sites/", SITE, key="kiln-field-1")
    again = alice.post("sites/", SITE, key="kiln-field-1")

    assert (first.status_code, again.status_code) == (201, 201)
    assert "Idempotent-Replayed" not in first
    assert again["Idempotent-Replayed"] == "true"
    assert again.json() == first.json()
    assert Site.objects.filter(name="Kiln Field").count() == 1
    assert AuditEntry.objects.filter(act="sites.open_site", detail__name="Kiln Field").count() == 1


def test_key_of_another_body_is_refused(alice):
    alice.post("sites/", SITE, key="kiln-field-1")

    answer = alice.post("sites/", SITE | {"name": "Weir House"}, key="kiln-field-1")

    assert code(answer) == (422, "key_reused")
    assert not Site.objects.filter(name="Weir House").exists()


def test_key_of_another_act_is_refused(alice, firm):
    alice.post("sites/", SITE, key="kiln-field-1")

    answer = alice.post("slabs/", {"site_id": firm.site.pk, "name": "Roof"}, key="kiln-field-1")

    assert code(answer) == (422, "key_reused")


def test_refused_act_does_not_use_its_key_up(alice, firm):
    refused = alice.post("sites/", SITE | {"name": firm.site.name}, key="kiln-field-1")
    done = alice.post("sites/", SITE, key="kiln-field-1")

    assert (refused.status_code, done.status_code) == (409, 201)
    assert "Idempotent-Replayed" not in done


def test_key_of_another_firm_is_free(alice, charlie):
    alice.post("sites/", SITE, key="kiln-field-1")

    answer = charlie.post("sites/", SITE, key="kiln-field-1")

    assert answer.status_code == 201
    assert "Idempotent-Replayed" not in answer


@pytest.mark.parametrize("key", ["", "short", "a" * 101, "with space", "new\tline", "ключключ"])
def test_act_without_a_key_that_serves_is_refused(alice, key):
    answer = alice.post("sites/", SITE, key=key)

    assert code(answer) == (400, "key_required")
    assert not Site.objects.filter(name="Kiln Field").exists()


def test_uuid_is_a_key(alice):
    assert alice.post("sites/", SITE, key="0f8b7a52-3a64-4f0c-9a53-0f3a6d1f2b11").status_code == 201
