"""An opening from a workbook: sheets to fill in, every bad line told, taken in whole or not at all."""

import io

import openpyxl
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from inventory.models import Lot, Payment, PurchaseOrder, StockSlip, SupplierBill
from tests.factories import inventory_stock as made
from tests.factories.looking import sheet, signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.data]

SHEETS = {"orders": "Open orders", "bills": "Unpaid bills", "slabs": "Slabs in progress"}
ORDER = ["K-7", "Weir Cement", "2026-04-20", "2026-05-06", "Cement", "bag", 200, 120, 410.5, "Roof", None]
BILL = ["Weir Cement", "K-311", "2026-04-02", 41000, 10000, None]
USED = ["Roof", None, "Cement", "bag", 60, 24000]
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


def filled(alice, at, rows, **others):
    """The empty workbook as the page gives it, with these rows from the first line of each sheet on."""
    empty = alice.get(reverse("inventory:opening_template", args=[at.cast.site.pk])).content
    book = openpyxl.load_workbook(io.BytesIO(empty))
    for name, lines in {
        "Opening stock": rows,
        **{SHEETS[name]: rows for name, rows in others.items()},
    }.items():
        for n, row in enumerate(lines, start=4):
            for column, value in enumerate(row, start=1):
                book[name].cell(row=n, column=column, value=value)
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
    assert len(book.worksheets[0].data_validations.dataValidation) == 5


def test_filled_sheet_is_taken_in_once_at_its_value(alice, at):
    content = filled(alice, at, GOOD)
    typed = sheet(alice, reverse("inventory:opening_file", args=[at.cast.site.pk]))

    answers = [send(alice, at, content, typed=typed) for _again in range(2)]

    slip = StockSlip.objects.get()
    assert [answer.url for answer in answers] == [f"/stores/{at.cast.site.pk}/"] * 2
    assert slip.pour is None
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


def test_orders_bills_and_begun_slabs_are_taken_in_with_the_stock(alice, at):
    slab = at.pour.slab
    slab.name = "Roof"
    slab.save()

    answer = send(alice, at, filled(alice, at, GOOD, orders=[ORDER], bills=[BILL], slabs=[USED]))

    order, bill = PurchaseOrder.objects.get(), SupplierBill.objects.get()
    assert answer.status_code == 302
    assert (order.earlier_number, order.lines.get().packs, order.total_minor) == ("K-7", 80, 80 * 41_050)
    assert order.lines.get().pour == at.pour
    assert (bill.number, bill.total_minor, Payment.objects.get().amount_minor) == (
        "K-311",
        4_100_000,
        10_000_00,
    )
    assert made.balance("slab", of=at.cement) == (60 * 50_000, 2_400_000)
    made.assert_sound()


def test_sheets_may_be_left_empty_but_not_all_of_them(alice, at):
    assert send(alice, at, filled(alice, at, [], bills=[BILL])).status_code == 302
    answer = send(alice, at, filled(alice, at, []))
    assert [fault.code for fault in answer.context["faults"]] == ["rows"]


def test_every_fault_of_every_sheet_is_told_and_nothing_is_taken_in(alice, at):
    orders = [
        ["", "Nobody", "20.4.2026", None, "Gold", "bag", "many", None, "-1", None, None],
        [*ORDER[:6], 100, 100, 410, None, None],
        [*ORDER[:2], "2026-04-21", *ORDER[3:9], None, None],
        [*ORDER[:9], "Porch", None],
        [*ORDER[:5], "lorry", *ORDER[6:9], None, None],
        [*ORDER[:9], None, None],
    ]
    bills = [["Nobody", "", "soon", 1.005, None, "later"], [*BILL[:3], 100, 100, None]]
    slabs = [["Porch", "north", "Gold", "bag", 0, "much"], ["", "", "Cement", "sack", 1, 1]]

    answer = send(alice, at, filled(alice, at, GOOD, orders=orders, bills=bills, slabs=slabs))

    told = {(fault.sheet, fault.line, fault.code) for fault in answer.context["faults"]}
    page = answer.content.decode()
    assert {
        ("Open orders", 4, code)
        for code in ("missing", "unknown_supplier", "bad_day", "unknown_material", "bad_figure", "bad_value")
    } <= told
    assert {
        ("Open orders", 5, "nothing_to_come"),
        ("Open orders", 9, "other_days"),
        ("Open orders", 7, "unknown_slab"),
        ("Open orders", 8, "unknown_pack"),
        ("Unpaid bills", 4, "unknown_supplier"),
        ("Unpaid bills", 4, "bad_value"),
        ("Unpaid bills", 5, "nothing_owed"),
        ("Slabs in progress", 4, "unknown_slab"),
        ("Slabs in progress", 4, "bad_figure"),
        ("Slabs in progress", 5, "unknown_unit"),
    } <= told
    assert "Unpaid bills" in page
    assert (StockSlip.objects.exists(), PurchaseOrder.objects.exists(), SupplierBill.objects.exists()) == (
        False,
        False,
        False,
    )


def test_refusal_names_the_sheet(alice, at):
    assert send(alice, at, filled(alice, at, [], bills=[BILL])).status_code == 302
    answer = send(alice, at, filled(alice, at, GOOD, bills=[BILL]))
    assert [(fault.sheet, fault.code) for fault in answer.context["faults"]] == [
        ("Unpaid bills", "billed_twice")
    ]
    assert not StockSlip.objects.exists()


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
