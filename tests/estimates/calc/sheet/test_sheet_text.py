import pytest

from estimates.calc.reading import reader as sheet
from estimates.calc.sheet import text as sheet_text


def refusal(text):
    with pytest.raises(sheet.SheetFaults) as refused:
        sheet.read(text)
    (fault,) = refused.value.faults
    return fault.code, fault.message


@pytest.mark.parametrize(
    ("text", "code", "words"),
    [
        ("", "not_json", "line 1, column 1"),
        ('{\n  "slab": \n}', "not_json", "line 3, column 1"),
        ('{"thickness_mm": NaN}', "not_finite", "holds NaN"),
        ('{"thickness_mm": -Infinity}', "not_finite", "holds -Infinity"),
        ('{"slab": "a", "slab": "b"}', "duplicate_field", "'slab' stands twice"),
        ("[" * 100_000, "too_deep", "nests groups too deep"),
        ('{"thickness_mm": ' + "9" * 5000 + "}", "too_large", "thousands of digits"),
        (" " * 4_000_001, "too_long", "4000001 characters"),
        ("5", "wrong_type", "the sheet 5 must be a group of named fields"),
        ("null", "wrong_type", "must be a group of named fields"),
        ('"slab"', "wrong_type", "must be a group of named fields"),
        ("[1, 2]", "wrong_type", "a list of 2 must be a group of named fields"),
    ],
)
def test_text_that_is_no_sheet_is_refused_with_its_place(text, code, words):
    found_code, found_message = refusal(text)
    assert found_code == code
    assert words in found_message


def test_numbers_are_written_as_short_as_they_are():
    assert sheet_text.dump([{"a": 1.0, "b": 0.5, "c": "1.0", "d": True}]) == (
        '[\n  {\n    "a": 1,\n    "b": 0.5,\n    "c": "1.0",\n    "d": true\n  }\n]'
    )
