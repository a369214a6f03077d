"""The sweep does what is due, writes down what went wrong, and costs one read when there is nothing."""

from datetime import timedelta

import pytest
from django.conf import settings
from django.db import connection
from django.http import HttpResponse
from django.test import RequestFactory
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from deploy import clock, tasks
from deploy.middleware import ring_the_bell
from projects.models import AuditEntry, Firm, Outbox
from projects.services import outbox

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def firm():
    return Firm.objects.create(name="Orchard Lane Builders")


def ask(firm, *, job="deploy.leave_mark", key="mark:1", payload=None, due_at=None):
    now = timezone.now()
    return outbox.ask(firm_id=firm.pk, job=job, key=key, payload=payload or {}, now=now, due_at=due_at or now)


def test_due_job_is_done_once(firm):
    row = ask(firm, payload={"number": 7})

    assert (tasks.sweep(), tasks.sweep()) == (1, 0)

    row.refresh_from_db()
    assert row.done_at is not None
    assert list(AuditEntry.objects.values_list("subject_id", flat=True)) == [7]


def test_job_that_runs_twice_leaves_one_effect(firm):
    row = ask(firm, payload={"number": 7})
    tasks.sweep()
    Outbox.objects.filter(pk=row.pk).update(done_at=None)

    tasks.sweep()

    assert AuditEntry.objects.count() == 1


def test_job_that_is_not_due_waits(firm):
    ask(firm, payload={"number": 7}, due_at=timezone.now() + timedelta(minutes=5))

    assert tasks.sweep() == 0


def test_nothing_due_costs_one_plain_read():
    with CaptureQueriesContext(connection) as queries:
        assert tasks.sweep() == 0

    assert len(queries) == 1
    assert queries[0]["sql"].startswith("SELECT")
    assert "FOR UPDATE" not in queries[0]["sql"]


def test_failed_job_is_written_down_and_tried_again_later(firm):
    row = ask(firm, job="deploy.fail", key="fail:1")

    tasks.sweep()

    row.refresh_from_db()
    assert row.last_error == "RuntimeError: the job fail:1 cannot be done"
    assert (row.attempts, row.done_at, row.failed_at) == (1, None, None)
    assert row.due_at > timezone.now()


def test_job_that_keeps_failing_is_given_up_and_counted(firm, client):
    row = ask(firm, job="deploy.fail", key="fail:1")

    for _ in range(outbox.MAX_ATTEMPTS):
        Outbox.objects.filter(pk=row.pk).update(due_at=timezone.now())
        tasks.sweep()

    row.refresh_from_db()
    assert row.failed_at is not None
    assert client.get("/health/").json()["jobs_given_up"] == 1


def test_job_that_takes_its_worker_down_each_time_is_given_up(firm):
    row = ask(firm, payload={"number": 7})
    Outbox.objects.filter(pk=row.pk).update(attempts=outbox.MAX_ATTEMPTS)

    tasks.sweep()

    row.refresh_from_db()
    assert row.last_error == f"the worker ended in the middle of this job {outbox.MAX_ATTEMPTS} times"
    assert row.failed_at is not None
    assert AuditEntry.objects.count() == 0


def test_job_without_a_function_is_written_down(firm):
    row = ask(firm, job="no.such", key="none:1")

    tasks.sweep()

    row.refresh_from_db()
    assert row.last_error.startswith(
        "UnknownJobError: no function does the job 'no.such'; known: deploy.trial, "
    )


def test_sweep_leaves_its_time_for_the_health_page():
    before = timezone.now()

    tasks.sweep()

    swept = clock.last_sweep()
    assert swept is not None
    assert swept >= before


def rings():
    return len(list((settings.RUN / "broker" / "queue").glob("*.celery.msg")))


def test_bell_rings_after_a_request_that_asked_for_a_job(firm):
    def act(_):
        ask(firm, payload={"number": 7})
        return HttpResponse()

    before = rings()
    ring_the_bell(act)(RequestFactory().post("/"))

    assert rings() == before + 1


def test_bell_is_silent_after_a_request_that_asked_for_nothing(firm):
    ask(firm, payload={"number": 7})  # by an earlier request in the same thread

    before = rings()
    ring_the_bell(lambda _: HttpResponse())(RequestFactory().get("/"))

    assert rings() == before
