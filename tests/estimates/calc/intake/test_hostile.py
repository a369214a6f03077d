"""Files that harm or are no schedule: each is refused in words, nothing is run, nothing is guessed."""

import io
import zipfile

import openpyxl
import pytest

from estimates.calc.intake import files, limits
from estimates.calc.intake.found import Unreadable
from estimates.services.intake import apart
from tests.estimates import drawings

HEADS = ["Mark", "Member", "Size", "Shape", "A", "No."]


def workbook(*rows, **parts):
    """A workbook with these rows, and further parts in its ZIP."""
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    made = io.BytesIO()
    book.save(made)
    with zipfile.ZipFile(made, "a", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name.replace("__", "/"), content)
    return made.getvalue()


def refused(content, *, name):
    with pytest.raises(Unreadable) as found:
        files.read(content, name=name)
    return [fault.code for fault in found.value.faults]


CASES = {
    "nothing": (b"", "bars.csv", "empty"),
    "blanks": (b" \n\n", "bars.csv", "empty"),
    "empty cells": (b",,\n,,\n", "bars.csv", "empty"),
    "no heads": (b"a,b\n1,2\n", "bars.csv", "no_heads"),
    "a picture": (b"\x89PNG\r\n\x1a\n" + b"\0" * 40, "drawing.dxf", "is_image"),
    "a program": (b"MZ\x90\0", "bars.csv", "is_program"),
    "old workbook": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "bars.xls", "is_xls"),
    "DWG": (b"AC1032\0\0", "plan.dxf", "is_dwg"),
    "PDF": (b"%PDF-1.7", "plan.dxf", "is_pdf"),
    "binary": (b"\x01\x02\0\x03" * 40, "bars.csv", "binary"),
    "wrong ending": (b"Mark,Size\nS1,T10\n", "plan.dxf", "wrong_ending"),
    "no ending": (b"Mark,Size\nS1,T10\n", "bars", "unknown_ending"),
    "half a DXF": (b"  0\nSECTION\n  2\nENTITIES\n  0\nLINE\n  8\n", "plan.dxf", "cut_short"),
    "broken DXF": (b"  0\nSECTION\nx\nENTITIES\nEOF", "plan.dxf", "damaged"),
    "empty DXF": (b"  0\nSECTION\n  2\nENTITIES\n  0\nENDSEC\n  0\nEOF", "plan.dxf", "nothing_drawn"),
    "half an IFC": (b"ISO-10303-21;\nHEADER;\n", "model.ifc", "cut_short"),
    "no IFC": (b"ISO-10303-21;\nEND-ISO-10303-21;", "model.ifc", "damaged"),
    "a ZIP": (b"PK\x03\x04" + b"x" * 60, "bars.xlsx", "damaged"),
    "no sheet": (b'["a"]', "sheet.json", "not_a_sheet"),
}


@pytest.mark.parametrize(("content", "name", "code"), CASES.values(), ids=CASES)
def test_file_that_is_none_is_refused_by_name(content, name, code):
    assert refused(content, name=name) == [code]


def test_50_megabytes_are_refused_before_anything_is_read():
    assert refused(b"x" * 50_000_000, name="bars.csv") == ["too_large"]


def test_zip_bomb_is_refused_while_it_unpacks():
    bomb = workbook(HEADS, **{"xl__media__zeros.bin": b"\0" * (limits.UNZIPPED_BYTES + 1)})

    assert len(bomb) < 100_000
    assert refused(bomb, name="bars.xlsx") == ["too_large"]


def test_macro_workbook_is_refused_even_when_it_is_named_xlsx():
    assert refused(workbook(HEADS, **{"xl__vbaProject.bin": b"x"}), name="bars.xlsx") == ["macros"]


def test_entities_in_the_xml_are_refused():
    laughs = b'<?xml version="1.0"?><!DOCTYPE a [<!ENTITY b "b">]><a>&b;</a>'

    assert refused(workbook(HEADS, **{"xl__more.xml": laughs}), name="bars.xlsx") == ["damaged"]


def test_formula_without_a_saved_value_is_a_fault_of_its_cell():
    content = workbook(HEADS, ["S1", "slab", "T10", "straight", '=cmd|"/C calc"!A0', 12])

    found = files.read(content, name="bars.xlsx").schedule

    assert found.rows == ()
    first = found.faults[0]
    assert (first.line, first.column, first.code) == (2, "E", "formula")


def test_text_that_begins_as_a_formula_is_a_fault_and_is_not_run():
    content = b"Mark,Member,Size,Shape,A,No.\n=1+1,slab,T10,straight,3920,12\n"

    found = files.read(content, name="bars.csv").schedule

    assert [(fault.line, fault.column, fault.code) for fault in found.faults] == [(2, "A", "formula")]
    assert found.rows == ()


def test_every_bad_row_is_listed_with_its_line_at_once():
    content = (
        b"Mark,Member,Size,Shape,A,No.\n"
        b"S1,slab,T10,straight,3920,12\n"
        b"S2,slab,ten,straight,3920,12\n"
        b"S3,slab,T10,straight,long,12\n"
        b"S 4,slab,T10,straight,3920,1.5\n"
        b"S1,slab,T10,straight,3920,12\n"
    )

    found = files.read(content, name="bars.csv").schedule

    assert [(fault.line, fault.code) for fault in found.faults] == [
        (3, "bad_size"),
        (4, "not_a_length"),
        (4, "missing"),
        (5, "bad_text"),
        (5, "not_a_count"),
        (6, "duplicate_mark"),
    ]


@pytest.mark.parametrize(
    ("sign", "coding", "letters", "separator"),
    [
        (";", "latin-1", "Windows-1252", "semicolon"),
        (",", "utf-8-sig", "UTF-8", "comma"),
        ("\t", "utf-16", "UTF-16", "tab"),
    ],
)
def test_letters_and_separator_are_found_out_and_said(sign, coding, letters, separator):
    rows = (HEADS, ["S1", "Träger", "T10", "straight", "3920", "12"])
    content = "\n".join(sign.join(row) for row in rows).encode(coding)

    found = files.read(content, name="bars.csv").schedule

    assert found.rows[0].member == "Träger"
    assert {fact.name: fact.value for fact in found.notes} == {"letters": letters, "separator": separator}


def test_reading_apart_gives_what_reading_here_gives():
    content = drawings.content(drawings.DAIRY[0])

    assert files.of_data(apart.read(content, name="a.dxf")) == files.read(content, name="a.dxf")


def test_library_that_falls_over_refuses_the_file_and_nothing_else(monkeypatch):
    monkeypatch.setattr(apart, "SECONDS", 0.01)

    with pytest.raises(Unreadable) as found:
        apart.read(drawings.content(drawings.DAIRY[0]), name="a.dxf")

    assert found.value.faults[0].code == "too_slow"
