"""The pages of cutting: asked for, shown with pictures, ticked at the bench, labels of offcuts."""

import re
from io import BytesIO

import pytest
import segno
from django.urls import reverse
from pypdf import PdfReader

from inventory.documents import cutting_list
from inventory.models import Cut, CuttingPattern, CuttingPlan, Lot, PatternPiece
from tests.factories import cutting as made
from tests.factories.looking import signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def at():
    found = made.shop()
    made.receive(found, "steel-10", bars=7)
    return found


@pytest.fixture
def bob():
    return lambda: signed_in("bob")


def boxes(page, **typed):
    """The hidden boxes of a form as the browser would send them, with what was typed."""
    found = dict(re.findall(r'name="(\w+)" value="([^"]*)"', page.content.decode()))
    return {"key": found["key"]} | typed


def test_a_plan_is_asked_for_on_its_form(at):
    client = signed_in("alice")
    address = reverse("inventory:cutting_new")
    form = client.get(address)

    answer = client.post(
        address,
        boxes(
            form,
            site_id=at.cast.site.pk,
            slabs=[at.slab.pk],
            marks="S1",
            buy_lengths_mm="6, 9.5, 12",
            blade_mm="2",
        ),
    )

    plan = CuttingPlan.objects.get()
    assert answer.url == reverse("inventory:cutting_plan", args=[plan.pk])
    assert plan.settings["buy_lengths_mm"] == [6_000, 9_500, 12_000]
    assert plan.settings["cutting"]["blade_mm"] == 2
    assert "waits for a worker" in client.get(answer.url).content.decode()


@pytest.mark.parametrize("typed", ["six", "12;;x", "12 -3", "1e3"])
def test_lengths_that_are_none_are_refused_at_their_box(at, typed):
    client = signed_in("alice")
    address = reverse("inventory:cutting_new")
    form = client.get(address)

    answer = client.post(
        address, boxes(form, site_id=at.cast.site.pk, slabs=[at.slab.pk], buy_lengths_mm=typed)
    )

    assert answer.status_code == 422
    assert "is no length" in answer.content.decode()
    assert typed in answer.content.decode()


def test_the_plan_shows_its_bound_its_patterns_and_its_pieces(at):
    plan = made.proposed(at, marks=("S1",))

    page = signed_in("alice").get(reverse("inventory:cutting_plan", args=[plan.pk])).content.decode()

    assert "proven: no plan takes less new steel" in page
    assert "7 whole bars" in page
    assert "4 × S1" in page
    assert page.count('class="piece"') == 4 + 3


def test_a_tap_ticks_and_the_page_that_was_read_before_is_refused(at, bob):
    plan = made.reserved(at, marks=("S1",))
    pattern = plan.patterns.get(bars=6)
    client, address = bob(), reverse("inventory:cutting_cut", args=[pattern.pk])
    bench = reverse("inventory:cutting_bench", args=[plan.pk])
    first, second = client.get(bench), client.get(bench)

    done = client.post(address, boxes(first, bars="6", done_before="0"))
    late = client.post(address, boxes(second, bars="6", done_before="0"))

    assert done.status_code == 302
    assert late.status_code == 409
    assert "Somebody ticked this pattern just now: 6 of 6" in late.content.decode()
    assert Cut.objects.count() == 1


def test_an_offcuts_label_carries_the_code_of_its_page(at, bob):
    plan = made.reserved(at, marks=("S1",))
    made.cut(at, plan.patterns.get(rest_kept=True))
    lot = Lot.objects.get(offcut_since__isnull=False)

    page = bob().get(reverse("inventory:offcut_label", args=[lot.pk])).content.decode()

    address = f"http://testserver{reverse('inventory:offcut', args=[lot.pk])}"
    dark = segno.make(address, error="m", micro=False).svg_inline(scale=4, border=2)
    assert re.search(r' d="([^"]+)"', dark)[1] in page
    assert address in page
    assert "style=" not in page
    assert lot.label in bob().get(reverse("inventory:offcut", args=[lot.pk])).content.decode()


def test_heavy_bars_show_in_the_steel_of_the_store(at, bob):
    Lot.objects.update(measured_mg_per_mm=700)  # 0.700 kg/m for 10 mm, whose table mass is 0.617: +13.5 %

    page = bob().get(reverse("inventory:steel", args=[at.cast.site.pk])).content.decode()

    assert "heavier than the tolerance of 7 %" in page
    assert "+13.5" in page


def test_the_list_for_the_bench_has_a_box_for_every_bar(at, bob):
    plan = made.proposed(at, marks=("S1",))

    page = bob().get(reverse("inventory:cutting_list", args=[plan.pk])).content.decode()

    assert page.count("<span></span>") == 7


def test_a_pattern_of_very_many_bars_stays_on_the_list(at, bob, monkeypatch):
    monkeypatch.setattr(cutting_list, "MOST_BOXES", 3)
    plan = made.proposed(at, marks=("S1",))

    page = bob().get(reverse("inventory:cutting_list", args=[plan.pk])).content.decode()

    assert page.count("S1</strong>") == CuttingPattern.objects.count()


def test_the_list_for_the_bench_is_read_back_from_its_pdf(at, bob):
    plan = made.proposed(at, marks=("S1",))

    answer = bob().get(reverse("inventory:cutting_list_pdf", args=[plan.pk]))
    words = " ".join(PdfReader(BytesIO(answer.content)).pages[0].extract_text().split())

    assert answer["Content-Type"] == "application/pdf"
    for pattern in CuttingPattern.objects.all():
        assert f"{pattern.bar_length_mm} mm" in words
    for piece in PatternPiece.objects.select_related("need"):
        assert f"{piece.per_bar} × {piece.need.mark} {piece.need.length_mm} mm" in words


def test_owner_reads_what_to_buy_with_its_money(at):
    plan = made.proposed(at, marks=("S1",), buy_lengths_mm=(12_000, 9_000))

    page = signed_in("olga").get(reverse("inventory:cutting_buying", args=[plan.pk])).content.decode()

    assert "best mix of lengths" in page
    assert "₹" in page
