"""The bar bending schedule as a document: read back, its figures equal the schedule as received."""

import csv
import io
import re

import openpyxl
import pypdf
import pytest

from estimates.documents import bars as document
from estimates.queries import bending
from tests.estimates import drawings
from tests.factories import estimates as make
from tests.factories.cast import NOW, cast
from tests.factories.sheets import roof

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def team():
    return cast()


@pytest.fixture
def sheet(team):
    design = make.design(team.alice, on=make.slab(team.alice, site=team.site), **roof())
    return bending.of_design(team.alice, design_id=design.pk)


def test_paper_has_every_mark_of_the_schedule_as_received(team, sheet):
    content = document.file(team.alice, sheet=sheet, kind="pdf", at=NOW)
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(content)).pages]
    lines = [re.sub(r"\s+", " ", line) for page in pages for line in page.splitlines()]

    received = csv.reader(io.StringIO(drawings.content(drawings.RIDGE[1]).decode()))
    marks = {row[0]: (row[2].removeprefix("T"), row[7], row[8]) for row in received if row[2].startswith("T")}
    assert len(marks) == 17
    whole = " ".join(lines)
    for mark, (size, each, members) in marks.items():
        assert re.search(rf"\b{mark}\b.*?\b{size} mm\b", whole)
        if each:
            assert re.search(rf"\b{each} {members} {int(each) * int(members)}\b", whole), mark
    assert all(f"{number} of {len(pages)}" in page for number, page in enumerate(pages, start=1))
    assert "RH-S-04 rev. B" in pages[-1]


def test_workbook_adds_up_to_the_sums_by_size(team, sheet):
    book = openpyxl.load_workbook(io.BytesIO(document.file(team.alice, sheet=sheet, kind="xlsx", at=NOW)))
    rows = [[cell.value for cell in row] for row in book.worksheets[0].iter_rows()]
    head = next(row for row in rows if row[0] == "mark")
    kept = [dict(zip(head, row, strict=True)) for row in rows[rows.index(head) + 1 :]]
    sums = {row[0]: row for row in book.worksheets[1].iter_rows(min_row=2, values_only=True)}

    for size, (_size, _grade, bars, length, per_metre, mass, _source) in sums.items():
        of_size = [row for row in kept if row["size"] == size]
        assert sum(row["number"] for row in of_size) == bars
        assert sum(row["length_m"] for row in of_size) == pytest.approx(length, abs=0.01)
        assert length * per_metre == pytest.approx(mass, rel=1e-6)


def test_same_schedule_gives_the_same_bytes(team, sheet):
    for kind in ("pdf", "xlsx", "csv"):
        first, second = (document.file(team.alice, sheet=sheet, kind=kind, at=NOW) for _time in range(2))
        assert first == second
