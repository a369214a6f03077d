"""Fields of quantity and money read what people type, and refuse what they cannot keep."""

from __future__ import annotations

import uuid
from typing import Any

import pytest
from django import forms

from projects.errors import Refused
from projects.pages.forms import ActForm, CountField, FigureField, MoneyField, QuantityField, SheetForm


class Receipt(SheetForm):
    bags = CountField(label="Bags", of="bags", least=1, most=2_000)
    sand = QuantityField(label="Sand", stock_unit="cm3", required=False)
    rate = MoneyField(label="Rate", currency="INR", extra_places=4, required=False)
    kind = forms.ChoiceField(label="Kind", choices=[("a", "A")], widget=forms.RadioSelect, required=False)


def field(*, locale: str, **options: Any) -> FigureField:
    class One(SheetForm):
        figure = QuantityField(label="Figure", **options)

    found = One(locale=locale).fields["figure"]
    assert isinstance(found, FigureField)
    return found


@pytest.mark.parametrize(
    ("typed", "locale", "grams"),
    [
        ("1,250", "en_IN", 1_250_000),
        ("1250", "en_IN", 1_250_000),
        ("1,25,000.5", "en_IN", 125_000_500),
        (" 1 250 ", "en_IN", 1_250_000),
        ("1250 kg", "en_IN", 1_250_000),
        ("1250KG.", "en_IN", 1_250_000),
        ("1.250,5", "de", 1_250_500),
        ("0.001", "en", 1),
        ("+3", "en", 3_000),
        ("0", "en", 0),
    ],
)
def test_quantity_as_people_type_it(typed: str, locale: str, grams: int) -> None:
    assert field(locale=locale, stock_unit="g").clean(typed) == grams


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("a few", "not_a_figure"),
        ("12,5,0", "not_a_figure"),
        ("1.2.3", "not_a_figure"),
        ("--5", "not_a_figure"),
        ("=1+1", "not_a_figure"),
        ("1e5", "other_unit"),
        ("NaN", "not_a_figure"),
        ("9" * 5_000, "not_a_figure"),
        ("9" * 40, "too_large"),
        ("1." + "0" * 40 + "1", "too_fine"),
        ("5 t", "other_unit"),
        ("5 m3", "other_unit"),
        ("0.0004", "too_fine"),
        ("-5", "too_small"),
        ("9" * 14, "too_large"),
        ("9" * 400, "too_large"),
    ],
)
def test_quantity_that_cannot_be_kept_is_refused(typed: str, code: str) -> None:
    with pytest.raises(forms.ValidationError) as refused:
        field(locale="en", stock_unit="g").clean(typed)

    assert [error.code for error in refused.value.error_list] == [code]


def test_refusal_names_value_bound_and_unit() -> None:
    form = Receipt({"bags": "2,001 bags"}, locale="en_IN")

    assert form.errors == {"bags": ["2,001 bags is too large. The most is 2,000 bags."]}


def test_nothing_typed_is_nothing_known_not_zero() -> None:
    form = Receipt({"bags": "5"}, locale="en_IN")

    assert form.is_valid()
    assert form.cleaned_data["sand"] is None


def test_unit_may_be_typed_with_a_plain_figure_for_its_power() -> None:
    assert field(locale="en", stock_unit="cm3").clean("2.5 m3") == 2_500_000


def test_rate_is_kept_to_a_ten_thousandth_of_the_minor_unit() -> None:
    form = Receipt({"bags": "1", "rate": "8.123456"}, locale="en_IN")

    assert form.is_valid()
    assert form.cleaned_data["rate"] == 8_123_456


def test_money_may_be_typed_with_its_sign_behind() -> None:
    form = Receipt({"bags": "1", "rate": "380 ₹"}, locale="en_IN")

    assert form.is_valid(), form.errors


def test_stored_figure_is_shown_in_its_unit() -> None:
    form = Receipt(initial={"sand": 12_500_000, "bags": 1_200}, locale="en_IN")

    assert 'value="12.500000"' in str(form["sand"])
    assert 'value="1,200"' in str(form["bags"])


def test_stored_figure_sent_back_unchanged_has_not_changed() -> None:
    form = Receipt({"bags": "1,200"}, initial={"bags": 1_200}, locale="en_IN")

    assert form.changed_data == []


def test_what_was_typed_is_kept_when_refused() -> None:
    form = Receipt({"bags": "a dozen"}, locale="en_IN")

    assert 'value="a dozen"' in str(form["bags"])
    assert 'aria-invalid="true"' in str(form["bags"])


@pytest.mark.parametrize(("name", "mode"), [("bags", "numeric"), ("sand", "decimal"), ("rate", "decimal")])
def test_keypad_fits_the_figure(name: str, mode: str) -> None:
    assert f'inputmode="{mode}"' in str(Receipt()[name])


def test_field_that_may_be_negative_keeps_the_whole_keyboard() -> None:
    assert field(locale="en", stock_unit="g", least=-5).widget.attrs["inputmode"] == "text"


def test_summary_lists_each_fault_with_its_place() -> None:
    form = Receipt({"kind": "z"}, locale="en_IN")
    form.refuse(Refused("The order is closed. Record it as an unordered delivery."))
    form.refuse(Refused("Only 3 m³ are in the store.", field="sand"))

    assert [(fault["target"], fault["label"]) for fault in form.faults] == [
        ("id_bags", "Bags"),
        ("id_kind_0", "Kind"),
        ("", ""),
        ("id_sand", "Sand"),
    ]


def test_refusal_of_a_field_that_the_form_lacks_stands_above_the_form() -> None:
    form = Receipt({"bags": "1"}, locale="en_IN")
    form.refuse(Refused("No such lot.", field="lot"))

    assert form.non_field_errors() == ["No such lot."]


def test_act_form_carries_a_new_key_each_time_it_is_shown() -> None:
    keys = {str(ActForm()["key"].value()) for _ in range(3)}

    assert len(keys) == 3


def test_act_form_keeps_its_key_when_refused() -> None:
    key = str(uuid.uuid4())

    assert str(ActForm({"key": key})["key"].value()) == key


def test_form_draws_label_hint_unit_and_error() -> None:
    html = str(Receipt({}, locale="en_IN"))

    assert '<label for="id_bags">Bags</label>' in html
    assert '<span class="unit">bags</span>' in html
    assert 'Sand <span class="optional">(optional)</span>' in html
    assert '<a href="#id_bags">Bags: Fill this in.</a>' in html


class Day(SheetForm):
    day = forms.DateField(label="Day")
    moment = forms.DateTimeField(label="Moment", required=False)


@pytest.mark.parametrize("year", ["0001", "0026", "1989", "2200", "9999"])
def test_year_that_was_not_typed_to_its_end_is_refused_at_its_field(year: str) -> None:
    form = Day({"day": f"{year}-12-31", "moment": f"{year}-01-01T00:00"})

    assert not form.is_valid()
    assert form.errors.as_data()["day"][0].code == "out_of_reason"
    assert form.errors.as_data()["moment"][0].code == "out_of_reason"


@pytest.mark.parametrize("year", ["1990", "2026", "2199"])
def test_years_of_this_trade_are_taken(year: str) -> None:
    assert Day({"day": f"{year}-12-31", "moment": f"{year}-01-01T00:00"}).is_valid()
