from datetime import UTC, datetime

import pytest
from django.core import mail

from deploy import jobs
from inventory import tasks
from inventory.models import PlanRun
from inventory.services import orders
from inventory.services.orders import StepAct
from projects.models import Outbox
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def _sent(*, email="orders@hillfoot.example"):
    people = cast()
    bags = make.cement(people.firm.pk)
    by = make.supplier(people.firm.pk, email=email)
    lines = (make.line_of(bags, packs=108, price=397_500_000),)
    order = make.ordered(people.alice, act=make.order_act(people.site, by=by, lines=lines))
    orders.send(actor=people.alice, act=StepAct(order_id=order.pk), key="s1", now=NOW)
    return people, order


def test_the_order_is_mailed_once_however_often_the_job_runs():
    _people, _order = _sent()
    job = Outbox.objects.get(job="inventory.send_order")
    for _time in range(2):
        tasks.send_order(**job.payload, key=job.key, now=NOW)
    [letter] = mail.outbox
    assert (letter.to, letter.subject) == (
        ["orders@hillfoot.example"],
        "Order PO-2026-0001 from Orchard Lane Builders",
    )


def test_the_mail_names_what_to_bring_where_and_by_when():
    people, order = _sent()
    tasks.send_order(firm_id=people.firm.pk, order_id=order.pk, key="k", now=NOW)
    body = mail.outbox[0].body.replace("\N{NO-BREAK SPACE}", " ")
    # 108 bags of 50 kg are 5,400 kg; 108 x 397.50 = 42,930.00.
    assert "1. Cement: 108 bags (5,400.0 kg), ₹42,930.00\n" in body
    assert "Friday 8 May 2026" in body
    assert "Orchard Lane Builders, Mill Yard" in body


def test_a_cancelled_order_is_not_mailed():
    people, order = _sent()
    act = StepAct(order_id=order.pk, reason="pour put off")
    orders.cancel(actor=people.alice, act=act, key="c1", now=NOW)
    tasks.send_order(firm_id=people.firm.pk, order_id=order.pk, key="k", now=NOW)
    assert mail.outbox == []


def test_the_plan_job_runs_twice_and_plans_once():
    people = cast()
    for _time in range(2):
        tasks.make_plan(firm_id=people.firm.pk, key="p1", now=NOW)
    assert PlanRun.objects.filter(firm=people.firm).count() == 1


def test_every_firm_is_planned_once_for_each_of_its_days():
    # 19:00 UTC on 4 May is half past midnight on 5 May in Kolkata, where both firms work.
    cast()
    for hour in (9, 10, 19, 20):
        tasks.plan_nightly(now=datetime(2026, 5, 4, hour, tzinfo=UTC))
    keys = Outbox.objects.filter(job="inventory.plan").order_by("id").values_list("key", flat=True)
    assert [key.rsplit(":", 1)[1] for key in keys] == ["2026-05-04", "2026-05-04", "2026-05-05", "2026-05-05"]


@pytest.mark.parametrize("name", ["estimates.requirements", "inventory.plan", "inventory.send_order"])
def test_each_job_that_is_asked_for_has_its_function(name):
    assert callable(jobs.find(name))


def test_the_nightly_function_is_there():
    assert f"{tasks.plan_nightly.__module__}.{tasks.plan_nightly.__name__}" == jobs.NIGHTLY
