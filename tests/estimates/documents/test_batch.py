"""The batch card: the page, its paper, and figures that a hand calculation gives."""

import io
import re

import pypdf
import pytest

from projects.models import Person
from projects.pages import figures
from tests.factories import estimates as make
from tests.factories.cast import cast
from tests.factories.sheets import roof

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def team():
    return cast()


@pytest.fixture
def office(client, team):
    client.force_login(Person.objects.get(username="alice"))
    return client


@pytest.fixture
def design(team):
    return make.design(team.alice, on=make.slab(team.alice, site=team.site), **roof())


def text_of(answer):
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(answer.content)).pages]
    return re.sub(r"\s+", " ", " ".join(pages).replace(figures.NBSP, " "))


def test_card_on_paper_says_what_the_page_says(office, design):
    query = "?batching=mass&concrete=6&bag=50&mixer=280&sand_moisture=4&stone_moisture=1"
    page = office.get(f"/designs/{design.pk}/batch-card/{query}")
    text = text_of(office.get(f"/designs/{design.pk}/batch-card.pdf{query}"))

    card = page.context["sheet"].card
    assert f"{card.batches} batches of {card.bags} bags for 6 m³" in text
    assert f"{card.bags} bags of 50 kg" in text
    assert "Ridge House" in text or "Porch roof" in text
    assert "RH-S-04 rev. B" in text
    assert "Nothing here checks strength" in text


def test_two_bag_batch_of_the_ridge_house_mix_by_hand(office, design):
    """1:1.5:3 by loose volume, dry factor 1.558, cement 1,412 kg/m³ (the sheet's method): 1.558/5.5 × 1412 kg
    of cement in 1 m³, so 50 kg make 125 L; a drum of 280 L takes two bags, and 6 m³ take 24.0 batches.
    """
    cement_kg_m3 = 1.558 / 5.5 * 1412
    one_bag_m3 = 50 / cement_kg_m3
    page = office.get(f"/designs/{design.pk}/batch-card/?concrete=6&mixer=280")

    card = page.context["sheet"].card
    assert card.bags == int(0.280 / one_bag_m3) == 2
    assert card.batches == -(-6 // (2 * one_bag_m3))
    assert card.step("bag.yield").net == pytest.approx(one_bag_m3 * 1000, rel=1e-9)
    assert card.water.net == pytest.approx(2 * 50 * 0.5, rel=1e-9)


def test_drum_too_small_for_a_bag_is_refused_in_words_and_keeps_what_was_typed(office, design):
    page = office.get(f"/designs/{design.pk}/batch-card/?mixer=60")

    assert "choose a larger mixer" in page.content.decode()
    assert 'value="60"' in page.content.decode()


def test_what_was_not_measured_is_said(office, design):
    text = text_of(office.get(f"/designs/{design.pk}/batch-card.pdf"))

    assert "The bulking of the sand was not given" in text
