from __future__ import annotations

from datetime import timedelta

import pytest

from projects.errors import NotAllowed, NotFound
from projects.models import Outbox
from projects.services import jobs, outbox
from projects.services.jobs import NotGivenUp, RetryAct
from tests.factories import cast as people
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def firm():
    return people.cast()


@pytest.fixture
def job(firm):
    return _asked(firm, key="plan-1")


def test_job_that_was_given_up_is_due_again(firm, job):
    _given_up(job)

    row = jobs.retry(actor=firm.alice, act=RetryAct(job_id=job.pk), key="retry-plan-1", now=NOW)

    assert (row.failed_at, row.attempts, row.due_at) == (None, 0, NOW)
    assert outbox.claim(now=NOW) == job


def test_same_key_puts_it_back_once(firm, job):
    _given_up(job)
    act = RetryAct(job_id=job.pk)
    jobs.retry(actor=firm.alice, act=act, key="retry-plan-1", now=NOW)
    _given_up(job)

    jobs.retry(actor=firm.alice, act=act, key="retry-plan-1", now=NOW)

    assert Outbox.objects.get(pk=job.pk).failed_at == NOW


def test_job_still_being_tried_is_left_alone(firm, job):
    with pytest.raises(NotGivenUp):
        jobs.retry(actor=firm.alice, act=RetryAct(job_id=job.pk), key="retry-plan-1", now=NOW)


def test_job_that_is_done_is_left_alone(firm, job):
    _given_up(job)
    outbox.finish(job, now=NOW)

    with pytest.raises(NotGivenUp):
        jobs.retry(actor=firm.alice, act=RetryAct(job_id=job.pk), key="retry-plan-1", now=NOW)


def test_job_of_another_firm_is_not_found(firm, job):
    _given_up(job)

    with pytest.raises(NotFound):
        jobs.retry(actor=firm.charlie, act=RetryAct(job_id=job.pk), key="retry-plan-1", now=NOW)


@pytest.mark.parametrize("who", ["bob", "olga"])
def test_only_the_office_puts_it_back(firm, job, who):
    _given_up(job)

    with pytest.raises(NotAllowed):
        jobs.retry(actor=getattr(firm, who), act=RetryAct(job_id=job.pk), key="retry-plan-1", now=NOW)


def _asked(firm, *, key):
    return outbox.ask(
        firm_id=firm.firm.pk,
        job="inventory.plan",
        key=key,
        payload={"firm_id": firm.firm.pk},
        now=NOW,
        due_at=NOW - timedelta(minutes=1),
    )


def _given_up(row):
    Outbox.objects.filter(pk=row.pk).update(failed_at=NOW, attempts=8, last_error="the disk was full")
