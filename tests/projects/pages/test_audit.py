"""The record of acts: written with time, site and device, read by the owner alone."""

from dataclasses import replace
from datetime import timedelta

import pytest
from django.test import Client

from inventory.models import StockSlip
from inventory.services import offline, usage
from inventory.services.offline import OfflineAct
from projects.errors import NotAllowed
from projects.models import AuditEntry, Person
from projects.pages import devices
from projects.queries import audit
from projects.queries.audit import BadCursor, Wanted
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW
from tests.factories.looking import sheet, signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.data]

PHONE = "Mozilla/5.0 (Linux; Mobile; rv:128.0) Gecko/128.0 Example/128.0"


@pytest.fixture
def at():
    yard = made.yard()
    made.receive(yard, packs=40)
    return yard


def test_act_is_recorded_with_time_site_and_device(at):
    bob = Client(headers={"user-agent": PHONE})
    bob.force_login(Person.objects.get(username="bob"))
    url = f"/stores/pours/{at.pour.pk}/issue/"

    bob.post(url, sheet(bob, url) | {f"amount_{at.cement.material.pk}": "4"})

    entry = AuditEntry.objects.get(act="usage.issue")
    assert (entry.signed, entry.device, entry.site) == ("Bob", "phone, Example 128", at.cast.site)
    assert entry.subject_id == StockSlip.objects.get().pk


def test_act_written_down_later_keeps_both_times(at):
    act = replace(made.issue_act(at, packs=1), happened_at=NOW - timedelta(hours=8))
    usage.issue(actor=at.cast.bob, act=act, key="k", now=NOW)
    offline.record(actor=at.cast.bob, act=OfflineAct(written=act), key="p~offline", now=NOW)

    for name in ("usage.issue", "offline.record"):
        entry = AuditEntry.objects.filter(act=name).first()
        assert (entry.happened_at, entry.recorded_at) == (NOW - timedelta(hours=8), NOW)
        assert entry.site == at.cast.site


@pytest.mark.parametrize(
    ("sent", "shown"),
    [
        (PHONE, "phone, Example 128"),
        ("Mozilla/5.0 (X11; Linux x86_64) Gecko/1 Example/9.1", "computer, Example 9"),
        ("Mozilla/5.0 (Tablet; rv:1) Gecko/1", "tablet"),
        ("till-script/2.1", "program, till-script 2"),
        ("\x00" + "A" * 5_000, "program"),
        ("", ""),
    ],
)
def test_device_in_a_few_words(sent, shown):
    assert devices.described(sent) == shown


def test_owner_filters_by_person_site_kind_and_period(at):
    made.issue(at, packs=3)
    made.receive(at, packs=1, by=at.cast.alice)
    bob = Person.objects.get(username="bob")

    def found(**asked):
        return [row.act for row in audit.acts(at.cast.olga, wanted=Wanted(**asked)).rows]

    assert found(person_id=bob.pk) == ["usage.issue", "deliveries.record"]
    assert found(kind="slips") == ["usage.issue"]
    assert found(kind="receipts", site_id=at.cast.site.pk) == ["deliveries.record"] * 2
    assert found(site_id=at.cast.other_site.pk) == ["sites.open_site"]
    assert found(until=NOW) == []
    assert "usage.issue" in found(since=NOW, until=NOW + timedelta(seconds=1))


def test_record_comes_in_pages_without_gap_or_repeat(at):
    for _n in range(3):
        made.issue(at, packs=1)
    whole = audit.acts(at.cast.olga, wanted=Wanted()).rows

    seen, after = [], ""
    while True:
        page = audit.acts(at.cast.olga, wanted=Wanted(limit=2, after=after))
        seen += page.rows
        after = page.after
        if not after:
            break

    assert seen == list(whole)
    for odd in ("x", "2026-05-04_1", "2026-05-04T09:00:00+00:00_-1", "_"):
        with pytest.raises(BadCursor):
            audit.acts(at.cast.olga, wanted=Wanted(after=odd))


def test_only_the_owner_reads_it_and_only_of_the_own_firm(at):
    made.charlies(at)
    with pytest.raises(NotAllowed):
        audit.acts(at.cast.alice, wanted=Wanted())

    rows = audit.acts(at.cast.olga, wanted=Wanted()).rows

    assert {row.firm_id for row in rows} == {at.cast.firm.pk}
    assert [row.name for row in audit.people(at.cast.olga)] == ["Alice", "Bob", "Olga"]


@pytest.mark.parametrize("acts", [1, 3])
def test_page_links_to_what_was_made_and_asks_constantly(at, acts, django_assert_num_queries):
    for _n in range(acts):
        slip = made.issue(at, packs=1)
    olga = signed_in("olga")

    with django_assert_num_queries(7):
        page = olga.get("/acts/?kind=slips&since=2026-05-04")

    assert f'href="/stores/slips/{slip.pk}/"' in page.text
    assert "material issued" in page.text
    assert "delivery received" not in page.text
    assert olga.get("/acts/?since=2026-99-99").status_code == 422


def test_owner_reads_acts_over_the_api(at):
    made.issue(at, packs=1)
    made.charlies(at)

    answer = signed_in("olga").get("/api/v1/acts/?kind=slips").json()

    assert [(row["act"], row["signed"]) for row in answer["rows"]] == [("usage.issue", "Bob")]
    assert signed_in("alice").get("/api/v1/acts/").status_code == 403
