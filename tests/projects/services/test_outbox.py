"""The outbox is the record of jobs."""

from datetime import timedelta

import pytest

from projects.models import Outbox
from projects.services import outbox
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

SECOND = timedelta(seconds=1)


def _ask(firm_id: int, key: str = "job-1") -> Outbox:
    return outbox.ask(firm_id=firm_id, job="a.job", key=key, payload={}, now=NOW, due_at=NOW)


def test_key_asked_twice_is_one_job():
    firm_id = cast().firm.pk

    assert _ask(firm_id) == _ask(firm_id)


def test_waiting_job_gathers_later_changes_until_it_is_begun():
    firm_id = cast().firm.pk
    ask = {"firm_id": firm_id, "job": "a.job", "delay": SECOND}

    first = outbox.ask_soon(now=NOW, **ask)
    gathered = outbox.ask_soon(now=NOW + SECOND / 2, **ask)
    begun = outbox.claim(now=NOW + SECOND)
    after = outbox.ask_soon(now=NOW + SECOND, **ask)

    assert gathered == first == begun
    assert after != first


def test_job_not_yet_due_is_not_claimed():
    firm_id = cast().firm.pk
    outbox.ask(firm_id=firm_id, job="a.job", key="later", payload={}, now=NOW, due_at=NOW + SECOND)

    assert outbox.claim(now=NOW) is None
    assert not outbox.anything_due(now=NOW)


def test_leased_job_is_due_again_only_when_the_lease_has_run_out():
    row = _ask(cast().firm.pk)

    assert outbox.claim(now=NOW, lease=SECOND) == row
    assert outbox.claim(now=NOW + SECOND / 2, lease=SECOND) is None
    assert outbox.claim(now=NOW + SECOND, lease=SECOND) == row


def test_done_job_is_never_claimed_again():
    _ask(cast().firm.pk)
    row = outbox.claim(now=NOW)
    assert row is not None

    outbox.finish(row, now=NOW)

    assert outbox.claim(now=NOW + timedelta(days=30)) is None


def test_failing_job_waits_longer_each_time_and_is_given_up():
    _ask(cast().firm.pk)
    now, pauses = NOW, []
    for _ in range(outbox.MAX_ATTEMPTS):
        row = outbox.claim(now=now)
        assert row is not None
        outbox.fail(row, error="no road", now=now)
        row.refresh_from_db()
        pauses.append((row.due_at - now).total_seconds())
        now = row.due_at

    assert pauses == sorted(pauses)
    assert row.failed_at is not None
    assert row.last_error == "no road"
    assert outbox.claim(now=now + timedelta(days=1)) is None


def test_job_given_up_waits_again_when_a_person_asks():
    row = _ask(cast().firm.pk)
    Outbox.objects.filter(pk=row.pk).update(failed_at=NOW, attempts=outbox.MAX_ATTEMPTS)

    outbox.retry(row, now=NOW)

    claimed = outbox.claim(now=NOW)
    assert claimed is not None
    assert claimed.attempts == 1
