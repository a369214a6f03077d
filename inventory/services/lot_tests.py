"""Tests of lots: what a laboratory or a person found, and until when the lot may be used."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils.translation import gettext as _

from inventory.models import Lot, LotTest
from inventory.services import firm_days, replan, texts
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.services.acts import business_act

LONGEST = timedelta(days=365)
"""Longest that a test may let a lot be used. Source: common practice; the engineer may say less."""


class BadTest(Refused):
    """A test that says too little, or whose days cannot be."""

    code = "bad_test"


@dataclass(frozen=True)
class TestAct:
    """A test of a lot: when, by whom, what it said, whether it passed, and then until when it may be used."""

    __test__ = False  # a name of the trade, no test of pytest's

    lot_id: int
    tested_date: date
    passed: bool
    tested_by: str
    result: str
    usable_until: date | None = None


@business_act(result=LotTest)
def record(*, actor: Actor, act: TestAct, key: str, now: datetime) -> LotTest:
    """Record a test: the latest one says whether the lot may be used, and until when.

    Refused with `bad_test` without who tested and what was found, for a day that has not come or lies before
    the lot was made, and when a last day of use is missing, in the past, or beyond a year of the test.
    """
    del key
    actor.require(Permission.RECORD_RECEIPTS)
    lot = scope.get(Lot.objects.select_for_update(of=("self",)), actor, pk=act.lot_id)
    today = firm_days.of(now, actor=actor)
    _require_days(act, lot=lot, today=today)
    row = LotTest.objects.create(
        lot=lot,
        tested_date=act.tested_date,
        passed=act.passed,
        usable_until=act.usable_until,
        tested_by=_said(act.tested_by, most=120, field="tested_by"),
        result=_said(act.result, most=200, field="result"),
        recorded_at=now,
        recorded_by_id=actor.person_id,
    )
    latest = lot.tests.order_by("-tested_date", "-pk").first() or row
    lot.tested_until = latest.usable_until
    lot.failed_date = None if latest.passed else latest.tested_date
    lot.save(update_fields=["tested_until", "failed_date"])
    replan.soon(actor.firm_id, now=now)
    return row


def _said(text: str, *, most: int, field: str) -> str:
    said = texts.fitting(text, most=most, field=field)
    if not said:
        raise BadTest(
            _("Say who tested it and what was found: a test without it opens nothing."), field=field
        )
    return said


def _require_days(act: TestAct, *, lot: Lot, today: date) -> None:
    if act.tested_date > today:
        message = _("The test of %(day)s has not come yet. Correct the day.")
        raise BadTest(message % {"day": act.tested_date.isoformat()}, field="tested_date")
    if lot.made_date is not None and act.tested_date < lot.made_date:
        message = _("The lot was made on %(made)s, after this test. Correct the day.")
        raise BadTest(message % {"made": lot.made_date.isoformat()}, field="tested_date")
    if not act.passed:
        if act.usable_until is not None:
            message = _("A lot that failed has no last day of use. Leave it out.")
            raise BadTest(message, field="usable_until")
        return
    last = act.usable_until
    if last is None or not act.tested_date <= last <= act.tested_date + LONGEST:
        message = _(
            "Say until when it may be used: from the day of the test, at most %(most)s days after it."
        )
        raise BadTest(message % {"most": LONGEST.days}, field="usable_until")
