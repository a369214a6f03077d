from __future__ import annotations

import pytest

from projects.models import AuditEntry, IdempotencyKey
from tests.api import addresses
from tests.api.bodies import bodies
from tests.api.calls import code
from tests.factories import estimates

pytestmark = [pytest.mark.django_db, pytest.mark.data]
READS_OF_ROWS = [a for a in addresses.reads() if a.names_a_row]


def test_row_of_another_firm_is_not_found(charlie, ours, theirs):
    for address in READS_OF_ROWS:
        theirs_answer = charlie.get(address.path(theirs), **address.query(theirs))
        ours_answer = charlie.get(address.path(ours), **address.query(theirs))

        assert theirs_answer.status_code == 200, address
        assert code(ours_answer) == (404, "not_found"), address


def test_answer_holds_nothing_of_another_firm(alice, ours, theirs):
    for address in addresses.reads():
        answer = alice.get(address.path(ours), **address.query(ours))

        assert answer.status_code == 200, address
        leaks = [leak for leak in _marks(theirs) if leak in answer.content.decode()]
        assert leaks == [], address


def test_the_leak_test_would_find_a_leak(charlie, theirs):
    answers = (charlie.get(a.path(theirs), **a.query(theirs)) for a in addresses.reads())
    shown = "".join(answer.content.decode() for answer in answers)

    assert all(leak in shown for leak in _marks(theirs))


@pytest.mark.parametrize("pattern", addresses.QUERIES)
def test_id_of_another_firm_in_a_query_is_not_found(charlie, ours, theirs, pattern):
    address = next(a for a in addresses.reads() if a.pattern == pattern)

    answer = charlie.get(address.path(theirs), **address.query(ours))

    assert code(answer) == (404, "not_found")


@pytest.mark.parametrize("path", ["orders/", "receipts/", "slips/", "counts/", "pours/", "drawings/"])
def test_filter_by_a_site_of_another_firm_finds_nothing(charlie, ours, theirs, path):
    answer = charlie.get(path, site_id=ours.site.pk)

    assert answer.json()["rows"] == []


def test_act_on_a_row_of_another_firm_is_not_found_and_writes_nothing(charlie, ours, theirs):
    before = _written()
    for address in [a for a in addresses.acts() if a.names_a_row]:
        answer = _send(charlie, address, address.path(ours), bodies(theirs)[address.pattern])

        assert code(answer) == (404, "not_found"), address
        assert _written() == before, address


def test_each_id_of_another_firm_in_a_body_is_refused_and_writes_nothing(charlie, ours, theirs):
    before, tried = _written(), 0
    for address in addresses.acts():
        body, foreign = bodies(theirs)[address.pattern], bodies(ours)[address.pattern]
        for mixed in _with_one_foreign_id(body, foreign):
            answer = _send(charlie, address, address.path(theirs), mixed)
            tried += 1

            assert answer.status_code in {400, 404}, (address, mixed, answer.content)
            assert _written() == before, (address, mixed)
    assert tried == 95  # ids in the bodies of tests.api.bodies


def test_site_manager_finds_nothing_of_another_site(firm, bob, ours):
    elsewhere = estimates.slab(firm.alice, site=firm.other_site, name="Elsewhere")

    assert code(bob.get(f"sites/{firm.other_site.pk}/")) == (404, "not_found")
    assert code(bob.get(f"slabs/{elsewhere.pk}/")) == (404, "not_found")
    assert code(bob.get(f"sites/{firm.other_site.pk}/stock/")) == (404, "not_found")
    assert [row["name"] for row in bob.get("sites/").json()["rows"]] == [firm.site.name]
    assert [row["name"] for row in bob.get("slabs/").json()["rows"]] == [ours.slab.name]


def _marks(world):
    return (world.mark, world.site.name, "Charlie", "Lower Quay")


def _send(caller, address, path, body):
    return (caller.post if hasattr(address.view, "post") else caller.put)(path, body)


def _written() -> tuple[int, int]:
    return IdempotencyKey.objects.count(), AuditEntry.objects.count()


def _with_one_foreign_id(body, foreign):
    """Yield the body once for each id in it, with that id from the other firm's body."""
    if not isinstance(body, dict | list):
        return
    for name, value in body.items() if isinstance(body, dict) else enumerate(body):
        if str(name).endswith(("_id", "_ids")) and value != foreign[name]:
            yield _changed(body, name, foreign[name])
        for mixed in _with_one_foreign_id(value, foreign[name]):
            yield _changed(body, name, mixed)


def _changed(body, name, value):
    made = body.copy()
    made[name] = value
    return made
