"""Holidays: kept by the office, counted by nobody as a working day. NOW is Monday 4 May 2026."""

from datetime import date, timedelta

import pytest
from django.db import IntegrityError, transaction

from projects.errors import NotAllowed, NotFound
from projects.models import Holiday, Outbox
from projects.queries import holidays as rows
from projects.services import holidays
from projects.services.holidays import BadHoliday, HolidayAct, WorkAct
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

DAY = date(2026, 8, 15)


def _put(actor, *, day=DAY, name="Harvest", key="h1"):
    return holidays.put(actor=actor, act=HolidayAct(day=day, name=name), key=key, now=NOW)


def test_a_holiday_is_kept_named_anew_and_taken_out():
    people = cast()
    first = _put(people.alice)
    assert _put(people.alice) == first
    named = _put(people.alice, name=" Harvest day ", key="h2")
    assert (named.pk, named.name, rows.days(people.alice)) == (first.pk, "Harvest day", frozenset({DAY}))
    taken = holidays.work(actor=people.alice, act=WorkAct(holiday_id=first.pk), key="w1", now=NOW)
    assert (taken.worked, rows.days(people.alice), rows.listing(people.alice)) == (True, frozenset(), [])
    assert _put(people.alice, key="h3").worked is False


def test_needs_and_plan_are_asked_for():
    people = cast()
    _put(people.alice)
    asked = Outbox.objects.filter(firm=people.firm).values_list("job", flat=True)
    assert {"estimates.requirements", "inventory.plan"} <= set(asked)


@pytest.mark.parametrize("name", ["", "   ", "x" * 81])
def test_a_holiday_without_a_fitting_name_is_refused(name):
    people = cast()
    with pytest.raises(BadHoliday) as refused:
        _put(people.alice, name=name)
    assert (refused.value.field, Holiday.objects.count()) == ("name", 0)


def test_a_year_has_only_so_many_holidays():
    people = cast()
    for n in range(holidays.MOST_IN_YEAR):
        Holiday.objects.create(firm=people.firm, day=date(2026, 1, 1) + timedelta(days=n), name="closed")
    with pytest.raises(BadHoliday):
        _put(people.alice)
    assert _put(people.alice, day=date(2026, 1, 1), name="New year", key="h2").name == "New year"


def test_holidays_are_the_office_s_and_the_firm_s():
    people = cast()
    row = _put(people.alice)
    for actor in (people.bob, people.olga):
        with pytest.raises(NotAllowed):
            _put(actor, key="x")
    with pytest.raises(NotFound):
        holidays.work(actor=people.charlie, act=WorkAct(holiday_id=row.pk), key="x", now=NOW)
    assert rows.listing(people.charlie) == []


def test_the_database_keeps_a_day_once_and_named():
    people = cast()
    _put(people.alice)
    for day, name in ((DAY, "again"), (date(2026, 8, 16), "")):
        with pytest.raises(IntegrityError), transaction.atomic():
            Holiday.objects.create(firm=people.firm, day=day, name=name)
