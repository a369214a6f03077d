"""The roof of the American example on page and paper, in the units of its trade beside metric ones.

One US cubic yard is 0.764555 m³, a pound 0.45359237 kg, a foot 0.3048 m, a sack of cement 94 lb.
"""

import csv
import html
import io
import json
import re
from fractions import Fraction
from importlib.resources import files

import pypdf
import pytest

from estimates.documents import bars
from estimates.queries import bending
from estimates.services import designs
from estimates.services.designs import DesignAct
from projects.pages import figures
from tests.factories import estimates as make
from tests.factories import looking
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

FEET = "cutting_length_in_trade_units"


@pytest.fixture
def team():
    return cast()


@pytest.fixture
def design(team):
    text = files("estimates").joinpath("examples/roof-over-larch-court.json").read_text(encoding="utf-8")
    act = DesignAct(slab_id=make.slab(team.alice, site=team.site).pk, sheet=json.loads(text))
    return designs.save(actor=team.alice, act=act, key="larch", now=NOW)


def plain(text):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", text).replace(figures.NBSP, " "))


def shown(page):
    return plain(looking.signed_in("alice").get(page).content.decode())


def near(text, unit):
    """The figures before a unit in a text."""
    return [float(found.replace(",", "")) for found in re.findall(rf"([\d,.]+) {re.escape(unit)}", text)]


def test_bending_schedule_in_feet_inches_and_pounds(team, design):
    sheet = bending.of_design(team.alice, design_id=design.pk)
    rows = list(csv.DictReader(io.StringIO(bars.csv(team.alice, sheet=sheet).decode())))
    for row in rows:
        feet, inches = re.fullmatch(r"(?:(\d+)')?-?(?:([\d /]+)\")?", row[FEET]).groups()
        length_in = 12 * int(feet or 0) + sum(Fraction(part) for part in (inches or "0").split())
        assert float(length_in) * 25.4 == pytest.approx(float(row["cutting_length_mm"]), abs=25.4 / 16 + 0.01)
        [pounds] = near(plain(row["mark_mass_in_trade_units"]), "lb")
        assert pounds * 0.45359237 == pytest.approx(float(row["mark_kg"]), abs=0.01)
    page, total = shown(f"/designs/{design.pk}/bars/"), sheet.table.mass_kg / 0.45359237
    assert f"{total:,.2f} lb" in page
    paper = pypdf.PdfReader(io.BytesIO(bars.file(team.alice, sheet=sheet, kind="pdf", at=NOW)))
    assert f"{total:,.2f} lb" in plain(" ".join(one.extract_text() for one in paper.pages))


def test_mix_for_a_yard_and_card_in_sacks(design):
    page = looking.signed_in("alice").get(f"/designs/{design.pk}/mix/")
    [metre], [yard] = page.context["ways"], page.context["yards"]
    assert yard["cement"] == pytest.approx(metre["cement"] * 0.764555 / 0.45359237, abs=0.06)
    assert yard["sacks"] == pytest.approx(yard["cement"] / 94, abs=0.006)
    assert yard["water"] == pytest.approx(metre["water"] * 0.764555 / 3.785412, abs=0.06)
    assert yard["sand"] == pytest.approx(metre["sand"] * 27, abs=0.01)
    assert "One cubic yard, method by method" in plain(page.content.decode())
    card = shown(f"/designs/{design.pk}/batch-card/?bag=42.6&mixer=300")
    assert near(card, "lb")
    assert near(card, "sacks")
    assert near(card, "gal")
    assert "2 bags of 42.6 kg 187.83 lb, 2 sacks" in card


def test_take_off_and_formwork_in_yards_and_feet(design):
    page = shown(f"/designs/{design.pk}/")
    assert near(page, "ft²")
    yards, metres = near(page, "yd³"), near(page, "m³")
    assert yards[0] * 0.764555 == pytest.approx(metres[0], abs=0.01)


def test_plan_of_the_american_roof_is_in_feet_and_inches(design):
    # 24' × 18' over all, beam 12" × 18": the example's drawing.
    page = looking.signed_in("alice").get(f"/designs/{design.pk}/").content.decode()
    words = re.findall(r"<text[^>]*>([^<]+)</text>", html.unescape(page))
    assert {"24'", "18'", "B1 1'×1'-6\""} <= set(words)
    assert "dimensions in feet and inches" in page
