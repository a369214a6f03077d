"""Bar marks that a new revision changed; the lengths are read off the two sheets."""

import copy

import pytest

from estimates.queries import mark_changes
from tests.factories import estimates as make
from tests.factories.cast import cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def first():
    people = cast()
    make.with_rates(people.alice)
    return people, make.billed_slab(people.alice, site=people.site)


def revised(people, first, *, bars):
    revision = {**make.SHEET["drawing"], "revision": "B"}
    design = make.design(people.alice, on=first.design.slab, bars=bars, drawing=revision)
    return make.bill(people.alice, of=design)


def test_a_mark_that_is_longer_has_to_be_cut_anew(first):
    people, before = first
    bars = copy.deepcopy(make.SHEET["bars"])
    bars[0]["dimensions"]["A"] += 100
    [change] = mark_changes.of_bill(people.alice, bill=revised(people, before, bars=bars))
    assert change.mark == bars[0]["mark"]
    assert change.recut
    was, now = change.before.pieces[0], change.after.pieces[0]
    assert (now[0] - was[0], now[1]) == (100, was[1])
    assert change.mass_change_kg > 0


def test_a_mark_that_fell_away_stands_with_nothing_after_it(first):
    people, before = first
    bars = copy.deepcopy(make.SHEET["bars"])
    gone = bars.pop()
    [change] = mark_changes.of_bill(people.alice, bill=revised(people, before, bars=bars))
    assert (change.mark, change.after, change.recut) == (gone["mark"], None, True)
    assert change.mass_change_kg == -change.before.mass_kg


def test_one_more_bar_of_the_same_length_fits_what_is_cut(first):
    people, before = first
    bars = copy.deepcopy(make.SHEET["bars"])
    counted = next(bar for bar in bars if "per_member" in bar)
    counted["per_member"] += 1
    [change] = mark_changes.of_bill(people.alice, bill=revised(people, before, bars=bars))
    assert not change.recut
    assert change.after.count == change.before.count + counted.get("members", 1)


def test_a_new_mark_was_not_cut_before(first):
    people, before = first
    bars = [*copy.deepcopy(make.SHEET["bars"]), {**make.SHEET["bars"][0], "mark": "Z9"}]
    [change] = mark_changes.of_bill(people.alice, bill=revised(people, before, bars=bars))
    assert (change.mark, change.before, change.recut) == ("Z9", None, False)


def test_a_first_bill_changes_no_mark(first):
    people, before = first
    assert mark_changes.of_bill(people.alice, bill=before) == ()
