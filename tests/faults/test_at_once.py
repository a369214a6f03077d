"""Two people at the same moment: the second is told why, in the words of the act, and nothing is lost."""

import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from django.db import connection, transaction

from estimates.services import materials
from estimates.services.materials import AdoptionAct
from inventory.services import planning, suppliers
from inventory.services.planning import PlanAct
from inventory.services.suppliers import SupplierAct
from projects.access import actor as actors
from projects.errors import Refused
from projects.models import Outbox
from projects.services import numbers, outbox, people, sites, slabs
from projects.services.people import PersonAct, Role
from projects.services.sites import SiteAct
from projects.services.slabs import SlabAct
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.data]

THREADS = 8


def at_once(do, *, times=THREADS):
    """Do it in as many threads, begun together; return each result, or the code of the refusal."""
    together = threading.Barrier(times)

    def work(n):
        try:
            together.wait(timeout=30)
            return do(n)
        except Refused as refused:
            return refused.code
        finally:
            connection.close()

    with ThreadPoolExecutor(times) as pool:
        return list(pool.map(work, range(times)))


@pytest.mark.parametrize("what", ["site", "slab", "supplier", "person"])
def test_same_name_is_given_once_and_refused_to_the_others(what):
    team = cast()
    verb, act, code = {
        "site": (sites.open_site, SiteAct(name="Weir", place="", opened_date=TODAY), "name_taken"),
        "slab": (slabs.add, SlabAct(site_id=team.site.pk, name="Porch"), "name_taken"),
        "supplier": (suppliers.add, SupplierAct(name="Quarry End"), "name_taken"),
        "person": (people.admit, PersonAct(username="pia", name="Pia", role=Role.OWNER), None),
    }[what]

    came = at_once(lambda n: verb(actor=team.alice, act=act, key=f"at-once-{n}", now=NOW).pk)

    given = {answer for answer in came if isinstance(answer, int)}
    assert len(given) == 1
    # Somebody of the firm who is admitted again in the same role is simply admitted.
    assert {answer for answer in came if not isinstance(answer, int)} == ({code} if code else set())


def test_standard_materials_are_taken_over_once():
    team = cast()

    came = at_once(
        lambda n: materials.adopt(actor=team.alice, act=AdoptionAct(), key=f"adopt-{n}", now=NOW).pk, times=4
    )

    assert came == [team.firm.pk] * 4


def test_numbers_are_without_gaps_and_given_once():
    firm_id = cast().firm.pk

    def number(_n):
        with transaction.atomic():
            return numbers.next_number(firm_id=firm_id, kind="PO", now=NOW)

    came = at_once(number, times=16)

    assert sorted(came) == [f"PO-2026-{n:04d}" for n in range(1, 17)]


def test_job_asked_for_in_a_change_is_not_begun_before_the_change_is_there():
    """Else the job would read the state before the change, and nobody would ask for it again."""
    firm_id = cast().firm.pk
    later = NOW + timedelta(minutes=1)
    outbox.ask(firm_id=firm_id, job="a.job", key="k", payload={"firm_id": firm_id}, now=NOW, due_at=NOW)
    asked, begun, seen = threading.Event(), threading.Event(), []

    def change():
        with transaction.atomic():
            outbox.ask_soon(firm_id=firm_id, job="a.job", now=NOW)
            asked.set()
            begun.wait(timeout=2)  # with one writer at a time the worker waits for this change instead
        return "changed"

    def work():
        asked.wait(timeout=30)
        seen.append(outbox.claim(now=later))
        begun.set()
        return "worked"

    came = at_once(lambda n: (change, work)[n](), times=2)

    waiting = Outbox.objects.filter(started_at=None).exists()
    begun_after_it = connection.vendor == "sqlite"
    assert came == ["changed", "worked"]
    assert waiting or begun_after_it


def test_plan_being_made_holds_no_record_up():
    """The plan of a large firm takes a minute; with one writer at a time the others wait for it, as ever."""
    team = cast()
    several = connection.vendor != "sqlite"
    planned, recorded = threading.Event(), threading.Event()

    def plan():
        with transaction.atomic():
            planning.make_plan(actor=actors.for_jobs(team.firm.pk), act=PlanAct(), key="plan", now=NOW)
            planned.set()
            return recorded.wait(timeout=20 if several else 0.5)

    def record():
        planned.wait(timeout=30)
        suppliers.add(actor=team.alice, act=SupplierAct(name="Quarry End"), key="record", now=NOW)
        recorded.set()
        return "recorded"

    assert at_once(lambda n: (plan, record)[n](), times=2) == [several, "recorded"]
