"""Each job that a service asks for has its function, and the jobs of the day are asked for once."""

import pytest

from deploy import jobs, tasks
from estimates.services import needs
from inventory.services import orders, replan
from projects.models import Firm, Outbox

ASKED_FOR = [needs.JOB, needs.PLAN, replan.JOB, orders.SEND_JOB]


@pytest.mark.parametrize("name", sorted({*ASKED_FOR, *jobs.JOBS}))
def test_job_has_its_function(name):
    assert name in jobs.JOBS
    assert callable(jobs.find(name))


@pytest.mark.data
@pytest.mark.django_db
def test_jobs_of_the_day_are_asked_for_once_for_each_firm():
    firms = [Firm.objects.create(name=name) for name in ("Orchard Lane Builders", "Lower Quay Works")]

    tasks.nightly()
    tasks.nightly()

    asked = Outbox.objects.filter(job=replan.JOB).values_list("firm_id", flat=True)
    assert sorted(asked) == sorted(firm.pk for firm in firms)
