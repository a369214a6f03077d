from datetime import UTC, datetime, time, timedelta

import pytest
from django.core import mail

from deploy import jobs
from inventory import tasks
from inventory.models import PlanRun, PourOutlook
from inventory.services import orders
from inventory.services.orders import StepAct
from projects.models import Outbox
from projects.queries.people import actor_named
from projects.services.people import MailAct, set_email
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, TODAY, cast

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


def _read_by(office, *, email):
    act = MailAct(username=office, email=email)
    set_email(actor=actor_named(office), act=act, key=f"mail-{email}", now=NOW)


def test_the_morning_letter_says_what_has_not_come_to_those_who_order():
    people, _order = _sent()
    _read_by("alice", email="alice@orchard.example")
    # The order was expected on Friday 8 May; it is Monday 11 May.
    late = datetime(2026, 5, 11, 1, tzinfo=UTC)
    for _time in range(2):
        tasks.morning_letter(firm_id=people.firm.pk, day="2026-05-11", key="m", now=late)
    letters = {letter.extra_headers["Message-ID"]: letter for letter in mail.outbox}
    [letter] = letters.values()
    assert letter.to == ["alice@orchard.example"]
    assert "PO-2026-0001" in letter.body
    assert "expected on 8 May, late by 3 days" in letter.body


def test_the_morning_letter_names_pours_of_the_week_that_may_run_short():
    people, _order = _sent()
    _read_by("alice", email="alice@orchard.example")
    bags = make.sand(people.firm.pk)
    run = PlanRun.objects.create(
        firm=people.firm,
        fingerprint="a" * 64,
        for_date=TODAY,
        started_at=NOW,
        finished_at=NOW,
        items=1,
        suggested=0,
    )
    for days, ppm in ((3, 240_000), (4, 20_000), (20, 900_000)):
        pour = make.pour(people.site, slab=f"Roof {days}", on=TODAY + timedelta(days=days))
        PourOutlook.objects.create(
            pour=pour, run=run, short_ppm=ppm, least_ppm=ppm, most_ppm=ppm, worst=bags.material, parts=[]
        )
    at = datetime.combine(TODAY, time(1), tzinfo=UTC)
    tasks.morning_letter(firm_id=people.firm.pk, day=TODAY.isoformat(), key="m", now=at)
    [letter] = mail.outbox
    named = [line for line in letter.body.splitlines() if "chance" in line]
    assert len(named) == 1
    assert named[0].startswith("- Roof 3, P1, ")
    assert named[0].endswith("chance 24%, first of all Sand")


def test_no_letter_is_written_without_reader_reason_or_on_another_day():
    people, order = _sent()
    late = datetime(2026, 5, 11, 1, tzinfo=UTC)
    tasks.morning_letter(firm_id=people.firm.pk, day="2026-05-11", key="m1", now=late)
    _read_by("alice", email="alice@orchard.example")
    tasks.morning_letter(firm_id=people.firm.pk, day="2026-05-10", key="m2", now=late)
    act = StepAct(order_id=order.pk, reason="pour put off")
    orders.cancel(actor=people.alice, act=act, key="c1", now=NOW)
    tasks.morning_letter(firm_id=people.firm.pk, day="2026-05-11", key="m3", now=late)
    assert mail.outbox == []


def test_the_morning_letter_waits_for_the_firms_morning_and_is_asked_for_once_a_day():
    # 19:00 UTC on 4 May is half past midnight on 5 May in Kolkata; six there is half past midnight UTC.
    people = cast()
    for hour in (19, 20):
        tasks.plan_nightly(now=datetime(2026, 5, 4, hour, tzinfo=UTC))
    [asked] = Outbox.objects.filter(job="inventory.morning_letter", firm=people.firm)
    assert asked.due_at == datetime(2026, 5, 5, 0, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    "name",
    ["estimates.requirements", "inventory.plan", "inventory.morning_letter", "inventory.send_order"],
)
def test_each_job_that_is_asked_for_has_its_function(name):
    assert callable(jobs.find(name))


def test_the_nightly_function_is_there():
    assert f"{tasks.plan_nightly.__module__}.{tasks.plan_nightly.__name__}" == jobs.NIGHTLY
