"""The plan's pages, by role, and with what they do."""

from datetime import date

import pytest

from inventory.models import Place, PlanTerms, PurchaseOrder, Stock, Suggestion, Transfer
from inventory.services import plan_terms, planning
from inventory.services.plan_terms import TermsAct
from projects.access import actor as actors
from projects.models import Outbox, Person, Pour, Site
from projects.services import outbox
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]
KEY = "6f0f7c5e-5d0c-4d1b-8a5a-0f6a7f1a2b3c"
BAG = make.BAG_G


def _as(client, username):
    client.force_login(Person.objects.get(username=username))
    return client


def _needed(people, bags):
    pour = make.pour(people.site, slab="Roof 1", on=date(2026, 5, 16))
    make.need(pour, of=bags, quantity=160 * BAG, on=date(2026, 5, 15))
    _plan(people, key="first")


def _plan(people, *, key):
    planning.make_plan(actor=actors.for_jobs(people.firm.pk), act=planning.PlanAct(), key=key, now=NOW)


@pytest.fixture
def setting():
    people = cast()
    bags = make.cement(people.firm.pk)
    by = make.supplier(people.firm.pk)
    make.offer(by, of=bags, pack_price=397_500_000)
    make.in_store(people.alice, site=people.site, of=bags, packs=40, value_minor=16_000)
    _needed(people, bags)
    Outbox.objects.update(done_at=NOW)
    return people, bags, by


def _text(answer):
    page = answer.content.decode().replace("\N{NO-BREAK SPACE}", " ")
    return " ".join(page.split())


@pytest.mark.parametrize(
    ("username", "codes"),
    [
        ("alice", [200, 200, 200, 200, 200]),
        ("bob", [403, 403, 403, 403, 403]),
        ("olga", [200, 200, 200, 403, 200]),
        ("charlie", [200, 404, 404, 404, 200]),
    ],
)
def test_who_sees_what(setting, client, username, codes):
    pk = Suggestion.objects.get().pk
    addresses = ["/plan/", f"/plan/{pk}/", f"/plan/{pk}/days/", f"/plan/{pk}/reject/", "/plan/state/"]
    _as(client, username)
    assert [client.get(address).status_code for address in addresses] == codes


def test_the_sentence_has_its_numbers(setting, client):
    # 160 needed, 40 in store: 120 bags at 397.50 are 47,700.00. Order by 12 May: see the service's tests.
    page = _text(_as(client, "alice").get("/plan/"))
    assert "<strong>120 bags of Cement</strong>: order by 12 May." in page
    assert "160 bags needed on 15 May for Roof 1, P1; 40 bags in store, 0 bags on order." in page
    assert "₹47,700.00" in page


def test_the_days_are_a_table_and_a_line(setting, client):
    page = _text(_as(client, "olga").get(f"/plan/{Suggestion.objects.get().pk}/days/"))
    assert page.count("<tr>") == 3
    assert '<path class="level" d="M' in page


def test_what_is_ticked_becomes_an_order(setting, client):
    row = Suggestion.objects.get()
    typed = {"key": KEY, "row": [row.pk], f"choose_{row.pk}": "on", f"packs_{row.pk}": "100"}
    answer = _as(client, "alice").post("/plan/order/", typed)
    order = PurchaseOrder.objects.get()
    assert (answer.status_code, answer["Location"]) == (302, f"/orders/{order.pk}/")
    assert (order.state, order.lines.get().packs) == ("approved", 100)


@pytest.mark.parametrize(
    ("packs", "ticked", "words"),
    [
        ("100", False, "Choose what to order first."),
        ("0", True, "too small"),
        ("many", True, "is not a number"),
    ],
)
def test_a_refused_order_keeps_what_was_typed(setting, client, packs, ticked, words):
    row = Suggestion.objects.get()
    typed = {"key": KEY, "row": [row.pk], f"packs_{row.pk}": packs}
    if ticked:
        typed[f"choose_{row.pk}"] = "on"
    answer = _as(client, "alice").post("/plan/order/", typed)
    page = _text(answer)
    assert (answer.status_code, words in page, f'value="{packs}"' in page) == (422, True, True)
    assert not PurchaseOrder.objects.exists()


def test_a_suggestion_that_is_gone_says_so(setting, client):
    row = Suggestion.objects.get()
    Suggestion.objects.update(state="replaced")
    typed = {"key": KEY, "row": [row.pk], f"choose_{row.pk}": "on", f"packs_{row.pk}": "100"}
    answer = _as(client, "alice").post("/plan/order/", typed)
    assert (answer.status_code, "is replaced by a later plan by now" in _text(answer)) == (422, True)


def test_another_supplier_on_the_suggestions_page(setting, client):
    people, bags, _by = setting
    other = make.supplier(people.firm.pk, name="Quarry End")
    make.offer(other, of=bags, pack_price=400_000_000)
    _plan(people, key="second")
    row = Suggestion.objects.get(state="open")
    address = f"/plan/{row.pk}/"
    assert "Quarry End" in _text(_as(client, "alice").get(address))
    answer = client.post(address, {"key": KEY, "supplier_id": other.pk, "packs": ""})
    assert (answer.status_code, PurchaseOrder.objects.get().supplier) == (302, other)


def test_turning_down_asks_for_the_reason(setting, client):
    row = Suggestion.objects.get()
    address = f"/plan/{row.pk}/reject/"
    assert _as(client, "alice").post(address, {"key": KEY, "reason": ""}).status_code == 422
    assert client.post(address, {"key": KEY, "reason": "client brings it"}).status_code == 302
    assert Suggestion.objects.get().state == "rejected"
    assert "turned down: client brings it" in _text(client.get("/plan/"))


def test_without_an_offer_the_page_says_what_to_do(client):
    people = cast()
    _needed(people, make.cement(people.firm.pk))
    assert "no supplier offers it" in _text(_as(client, "alice").get("/plan/"))


def test_the_owner_reads_and_does_not_decide(setting, client):
    page = _text(_as(client, "olga").get("/plan/"))
    assert ("120 bags" in page, "Order what is ticked" in page) == (True, False)
    row = Suggestion.objects.get()
    typed = {"key": KEY, "row": [row.pk], f"choose_{row.pk}": "on", f"packs_{row.pk}": "1"}
    assert client.post("/plan/order/", typed).status_code == 403


def test_a_job_that_was_given_up_is_shown_and_can_be_tried_again(setting, client):
    people, _bags, _by = setting
    row = outbox.ask(firm_id=people.firm.pk, job="inventory.plan", key="k", payload={}, now=NOW, due_at=NOW)
    Outbox.objects.filter(pk=row.pk).update(failed_at=NOW, attempts=8, last_error="ValueError: no calendar")
    page = _text(_as(client, "alice").get("/plan/"))
    assert ("The plan could not be made." in page, "ValueError: no calendar" in page) == (True, True)
    assert client.post("/plan/again/").status_code == 302
    row.refresh_from_db()
    assert (row.failed_at, row.attempts) == (None, 0)
    assert "hx-trigger" in client.get("/plan/state/").content.decode()


def test_asking_again_puts_one_job_into_the_outbox(setting, client):
    _as(client, "alice")
    for _time in range(2):
        assert client.post("/plan/again/").status_code == 302
    assert Outbox.objects.filter(job="inventory.plan", done_at=None).count() == 1


@pytest.mark.parametrize("count", [1, 3])
def test_the_plan_asks_a_fixed_number_of_queries(setting, client, django_assert_num_queries, count):
    people, bags, _by = setting
    for n in range(1, count):
        make.need(
            make.pour(people.site, slab=f"More {n}"), of=bags, quantity=n * BAG, on=date(2026, 5, 15 + n)
        )
    _plan(people, key="again")
    _as(client, "alice")
    with django_assert_num_queries(15):
        assert client.get("/plan/").status_code == 200


def test_what_the_plan_weighs_is_kept_and_shown_again(setting, client):
    people, _bags, _by = setting
    page = _as(client, "alice")
    typed = {
        "key": KEY,
        "stop_cost_minor": "30,000.00",
        "keep_percent": "14",
        "rest_percent": "40",
        "week_budget_minor": "",
        "freight_minor": "500",
        "van_kg": "3000",
    }
    assert page.post("/plan/terms/", typed).status_code == 302
    row = PlanTerms.objects.get(firm=people.firm)
    kept = (
        row.stop_cost_minor,
        row.keep_permille,
        row.rest_permille,
        row.week_budget_minor,
        row.freight_minor,
    )
    assert kept == (3_000_000, 140, 400, None, 50_000)
    assert 'value="14"' in _text(page.get("/plan/terms/"))
    refused = page.post("/plan/terms/", typed | {"rest_percent": "140", "key": KEY.replace("6f", "7f")})
    assert (refused.status_code, 'value="140"' in _text(refused)) == (422, True)


def test_a_move_is_shown_with_its_sum_and_sent(setting, client):
    people, bags, _by = setting
    act = TermsAct(keep_permille=140, rest_permille=500, freight_minor=50_000)
    plan_terms.set_terms(actor=people.alice, act=act, key="terms", now=NOW)
    idle = Site.objects.create(firm=people.firm, name="Kiln Lane", opened_date=TODAY)
    store = Place.objects.create(firm=people.firm, site=idle, kind=Place.Kind.STORE)
    Stock.objects.create(place=store, material=bags.material, quantity=60 * BAG, value_minor=2_400_000)
    _plan(people, key="again")
    page = _as(client, "alice")
    words = _text(page.get("/plan/"))
    assert "Move from Kiln Lane to" in words
    assert "60 bags of Cement</strong>: send by" in words
    nothing = page.post("/plan/send/", {"key": KEY}, follow=True)
    assert "Choose what to move first" in _text(nothing)
    move = Suggestion.objects.get(kind="move", state="open")
    sent = page.post("/plan/send/", {"key": KEY.replace("6f", "8f"), "move": [move.pk]})
    transfer = Transfer.objects.get()
    assert sent.headers["Location"] == f"/stores/transfers/{transfer.pk}/"
    assert transfer.from_site == idle


def test_a_week_over_its_budget_is_said(setting, client):
    # 120 bags at 397.50 are 47,700.00; the limit is 47,000.00.
    people, _bags, _by = setting
    act = TermsAct(week_budget_minor=4_700_000)
    plan_terms.set_terms(actor=people.alice, act=act, key="terms", now=NOW)
    _plan(people, key="again")
    words = _text(_as(client, "alice").get("/plan/"))
    assert "The orders of the week of 11 May cost" in words
    assert "700.00 more than you want to spend in a week" in words


def test_the_plan_is_seen_beside_that_of_a_price_doubled(setting, client):
    material = Suggestion.objects.filter(state="open").first().material_id

    asked = {"material_id": material, "price_percent": 200}
    page = _text(_as(client, "alice").get("/plan/what-if/", asked))

    assert "today," in page
    assert "Then" in page


def test_half_a_change_is_asked_for_the_other_half(setting, client):
    answer = _as(client, "alice").get("/plan/what-if/", {"price_percent": 200})

    assert answer.status_code == 422
    assert "Fill in both, or neither." in answer.content.decode()


def test_a_pour_says_whether_it_will_have_what_it_needs(client, setting):
    people, _bags, _by = setting
    pour = Suggestion.objects.get().pour
    plan = _text(_as(client, "alice").get("/plan/"))
    assert "Will the pours have what they need?" in plan
    page = _text(client.get(f"/stores/pours/{pour.pk}/outlook/"))
    assert "is not known, since no delivery on an order was received yet. Cement decides it." in page
    assert "Hillfoot Cement Depot, ordered by" in page
    on_site = _text(_as(client, "bob").get(f"/stores/pours/{pour.pk}/outlook/"))
    assert "Cement decides it" in on_site
    Pour.objects.filter(pk=pour.pk).update(state="poured", poured_at=NOW)
    assert "The plan knows no needs" in _text(client.get(f"/stores/pours/{pour.pk}/outlook/"))
    del people
