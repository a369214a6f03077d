"""A bar size is typed and shown as its trade names it, and kept in one way."""

import pytest
from babel import Locale

from estimates.pages import design_typing

INDIA = Locale.parse("en_IN")


@pytest.mark.parametrize(
    ("typed", "profile", "size", "shown"),
    # ASTM A615/A615M: #5 is the metric number 16, #11 is 36. In other profiles 16 is 16 mm.
    [("#5", "aci", 16, "#5"), ("# 11", "aci", 36, "#11"), ("16", "aci", 16, "#5"), ("16", "is", 16, "16")],
)
def test_bar_size_is_typed_and_shown_as_its_trade_names_it(typed, profile, size, shown):
    row = {"bars[0].mark": "S1", "bars[0].size_mm": typed, "profile": profile}
    sheet, _faults = design_typing.read(row, locale=INDIA)
    assert sheet["bars"][0]["size_mm"] == size
    assert design_typing.written(sheet, locale=INDIA)["bars[0].size_mm"] == shown


@pytest.mark.parametrize(("typed", "profile"), [("#5", "is"), ("#12", "aci"), ("#5", "")])
def test_name_that_the_profile_does_not_know_is_a_fault_of_its_box(typed, profile):
    row = {"bars[0].mark": "S1", "bars[0].size_mm": typed, "profile": profile}
    sheet, faults = design_typing.read(row, locale=INDIA)
    assert sheet["bars"][0]["size_mm"] == typed
    assert [fault.path for fault in faults if fault.code == "unreadable"] == ["bars[0].size_mm"]
