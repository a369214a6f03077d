"""Opening stock from a workbook: a sheet to fill in, every bad line told, taken in whole or not at all."""

import io

import openpyxl
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from inventory.models import Lot, StockSlip
from tests.factories import inventory_stock as made
from tests.factories.looking import sheet, signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.data]

GOOD = [
    ["Cement", "bag", 12, 4800.5, "Weir Cement", "2026-W10", "2026-03-02"],
    ["Sand", "m³", 2.5, 5000, None, None, None],
]


@pytest.fixture
def at():
    yard = made.yard()
    yard.supplier.name = "Weir Cement"
    yard.supplier.save()
    return yard


@pytest.fixture
def alice(at):
    return signed_in("alice")


def filled(alice, at, rows):
    """The empty sheet as the page gives it, with these rows from its first line on."""
    empty = alice.get(reverse("inventory:opening_template", args=[at.cast.site.pk])).content
    book = openpyxl.load_workbook(io.BytesIO(empty))
    page = book.worksheets[0]
    for n, row in enumerate(rows, start=4):
        for column, value in enumerate(row, start=1):
            page.cell(row=n, column=column, value=value)
    kept = io.BytesIO()
    book.save(kept)
    return kept.getvalue()


def send(alice, at, content, *, typed=None):
    url = reverse("inventory:opening_file", args=[at.cast.site.pk])
    typed = typed or sheet(alice, url)
    return alice.post(url, typed | {"file": SimpleUploadedFile("opening.xlsx", content)})


def test_sheet_offers_the_firms_own_names_and_nothing_that_a_spreadsheet_would_run(alice, at):
    made.charlies(at)
    at.supplier.name = "=HYPERLINK(1)"
    at.supplier.save()

    book = openpyxl.load_workbook(io.BytesIO(filled(alice, at, [])))

    lists = book["Lists"]
    assert [cell.value for cell in lists["A"][1:3]] == ["Cement", "Sand"]
    assert lists["C"][1].data_type == "s"
    assert len(book.worksheets[0].data_validations.dataValidation) == 4


def test_filled_sheet_is_taken_in_once_at_its_value(alice, at):
    content = filled(alice, at, GOOD)
    typed = sheet(alice, reverse("inventory:opening_file", args=[at.cast.site.pk]))

    answers = [send(alice, at, content, typed=typed) for _again in range(2)]

    slip = StockSlip.objects.get()
    assert [answer.url for answer in answers] == [f"/stores/slips/{slip.pk}/"] * 2
    assert made.balance("store", of=at.cement) == (12 * 50_000, 480_050)
    assert made.balance("store", of=at.sand) == (2_500_000, 500_000)
    assert (Lot.objects.get().label, Lot.objects.get().supplier) == ("2026-W10", at.supplier)
    made.assert_sound()


def test_every_bad_line_is_told_with_its_number_and_nothing_is_taken_in(alice, at):
    bad = [
        ["Gold", "bag", 1, 1, None, None, None],
        ["Cement", "sack", -3, "=1+1", None, None, None],
        ["Cement", "bag", 1, 1.005, "Nobody", None, "31.3.2026"],
        ["Cement", "bag", 1, 1, None, "W-9", None],
    ]

    answer = send(alice, at, filled(alice, at, [GOOD[0], *bad]))

    told = {(fault.line, fault.code) for fault in answer.context["faults"]}
    assert answer.status_code == 422
    assert {
        (5, "unknown_material"),
        (6, "unknown_unit"),
        (6, "bad_figure"),
        (6, "bad_value"),
        (7, "bad_value"),
        (7, "unknown_supplier"),
        (7, "bad_day"),
        (8, "lot_of_nobody"),
    } <= told
    assert not any(line == 4 for line, _code in told)
    assert StockSlip.objects.count() == 0


@pytest.mark.parametrize("content", [b"", b"not a workbook", b"PK\x03\x04" + b"x" * 99])
def test_what_is_no_workbook_is_said_so(alice, at, content):
    answer = send(alice, at, content)

    assert answer.status_code == 422
    assert StockSlip.objects.count() == 0


def test_sheet_with_other_heads_is_not_guessed_at(alice, at):
    book = openpyxl.Workbook()
    book.active.append(["Item", "Qty"])
    kept = io.BytesIO()
    book.save(kept)

    answer = send(alice, at, kept.getvalue())

    assert [fault.code for fault in answer.context["faults"]] == ["no_heads"]
