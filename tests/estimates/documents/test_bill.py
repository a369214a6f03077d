"""The bill as a document: what is read back of the paper and the workbook equals the bill."""

import csv
import io
import re
from decimal import Decimal

import openpyxl
import pypdf
import pytest

from estimates.documents import bill as document
from estimates.documents import paper
from estimates.queries import bills
from projects.pages import figures
from tests.factories import estimates as make
from tests.factories.cast import cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

HOSTILE = '=HYPERLINK("x") #eval(1) *bold* <b>& "q" \\'


@pytest.fixture
def team():
    found = cast()
    make.with_rates(found.alice)
    return found


@pytest.fixture
def sheet(team):
    drawing = {"number": "MY-S-01", "revision": "A", "dated": "2026-04-02", "engineer": HOSTILE}
    slab = make.slab(team.alice, site=team.site)
    bill = make.bill(team.alice, of=make.design(team.alice, on=slab, drawing=drawing))
    return bills.one(team.alice, bill_id=bill.pk)


def text_of(content):
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(content)).pages]
    return [re.sub(r"\s+", " ", page.replace(figures.NBSP, " ")) for page in pages]


def plain(text):
    return re.sub(r"\s+", " ", text.replace(figures.NBSP, " "))


def test_paper_has_every_line_with_its_four_numbers_and_the_total(team, sheet):
    pages = text_of(paper.pdf(document.document(team.alice, sheet=sheet)))

    whole = " ".join(pages)
    locale = figures.locale_for(team.alice.locale)
    for row in sheet.rows:
        assert plain(row.title) in whole
        if row.bought:
            unit = figures.stock_unit(row.shown_as).shown
            for units in (row.net, row.allowance, *([row.surplus] if row.packs is not None else [])):
                assert f"{figures.figure(units, unit=row.shown_as, locale=locale)} {unit}" in whole
            amount = figures.money_figure(row.amount_minor, currency=team.alice.currency, locale=locale)
            assert amount in whole
    total = figures.money_figure(sheet.bill.total_minor, currency=team.alice.currency, locale=locale)
    assert f"Total of net and allowance at these rates {total}" in whole


def test_every_page_says_whose_and_which_and_how_many(team, sheet):
    pages = text_of(paper.pdf(document.document(team.alice, sheet=sheet)))

    for number, page in enumerate(pages, start=1):
        assert f"{number} of {len(pages)}" in page
        assert "Orchard Lane Builders" in page
        assert "Mill Yard" in page
        assert "Porch roof" in page
        assert "MY-S-01 rev. A" in page
        assert sheet.bill.edition in page
    assert any("Nothing here checks strength" in page for page in pages)


def test_words_of_people_are_never_markup_nor_formulas(team, sheet):
    pages = text_of(paper.pdf(document.document(team.alice, sheet=sheet)))
    book = openpyxl.load_workbook(io.BytesIO(document.xlsx(team.alice, sheet=sheet)))

    assert plain(HOSTILE) in pages[0]
    cells = [cell for row in book.active.iter_rows() for cell in row]
    assert HOSTILE in [cell.value for cell in cells]
    assert [cell.coordinate for cell in cells if cell.data_type == "f"] == []


def test_same_bill_gives_the_same_bytes(team, sheet):
    for kind in ("pdf", "xlsx", "csv"):
        first, second = (document.file(team.alice, sheet=sheet, kind=kind) for _time in range(2))
        assert first == second


def test_workbook_holds_the_figures_of_the_bill(team, sheet):
    table = openpyxl.load_workbook(io.BytesIO(document.xlsx(team.alice, sheet=sheet))).active
    rows = [[cell.value for cell in row] for row in table.iter_rows()]
    head = next(index for index, row in enumerate(rows) if row[0] == "key")
    found = {row[0]: dict(zip(rows[head], row, strict=True)) for row in rows[head + 1 :] if row[0]}

    for row in sheet.rows:
        if row.bought:
            scale = figures.stock_unit(row.shown_as).scale
            assert round(found[row.key]["net"] * scale) == row.net
            assert round(found[row.key]["amount"] * 100) == row.amount_minor
    assert sum(round((line.get("amount") or 0) * 100) for line in found.values() if line["title"]) == sum(
        row.amount_minor for row in sheet.rows if row.amount_minor
    )


def test_lines_as_csv_add_up_to_the_bill(team, sheet):
    lines = list(csv.DictReader(io.StringIO(document.csv(team.alice, sheet=sheet).decode())))

    assert [line["key"] for line in lines] == [row.key for row in sheet.rows]
    assert sum(Decimal(line["amount"] or 0) for line in lines) * 100 == sheet.bill.total_minor


def test_who_may_not_see_money_sees_none(team, sheet):
    held = bills.one(team.bob, bill_id=sheet.bill.pk)

    whole = " ".join(text_of(paper.pdf(document.document(team.bob, sheet=held))))
    assert "Amount" not in whole
    assert "Budget" not in whole
    assert "amount" not in document.csv(team.bob, sheet=held).decode()


def test_plan_on_paper_shows_the_bars_by_mark(team):
    rule = {"mark": "S9", "size_mm": 8, "direction": "x", "spacing_mm": 200, "layer": "bottom"}
    slab = make.slab(team.alice, site=team.site)
    bill = make.bill(team.alice, of=make.design(team.alice, on=slab, spacing_rules=[rule]))
    pages = text_of(document.file(team.alice, sheet=bills.one(team.alice, bill_id=bill.pk), kind="pdf"))
    [plan] = [page for page in pages if "The slab" in page]
    assert "S9" in plan
