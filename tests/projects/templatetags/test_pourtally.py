"""Quantities and money as the tags write them; groupings after CLDR (en_IN: lakh and crore)."""

from __future__ import annotations

from typing import Any

import pytest
from django.template import Context, Template

S = "\N{NO-BREAK SPACE}"


def write(tag: str, *, locale: str = "en_IN", currency: str = "INR", **context: Any) -> str:
    frame = {"locale": locale, "currency": currency}
    return Template("{% load pourtally %}" + tag).render(Context({"frame": frame} | context))


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (12_350_000, "cm3", f"12.35{S}m³"),
        (4_058_000, "g", f"4,058.0{S}kg"),
        (72_177, "mm", f"72.18{S}m"),
        (123_456, "cm2", f"12.35{S}m²"),
        (200_500, "cm3:L", f"200.5{S}L"),
        (1_234_567, "piece", f"12,34,567{S}no."),
        (0, "cm3", f"0.00{S}m³"),
        (-2_500, "g", f"-2.5{S}kg"),
        (10**18, "g", f"1,00,00,00,00,00,00,000.0{S}kg"),
    ],
)
def test_quantity_is_written_in_its_display_unit(value: int, unit: str, text: str) -> None:
    assert write("{% quantity value unit %}", value=value, unit=unit) == text


@pytest.mark.parametrize(
    ("value", "unit", "text"), [(3, "g", "0.003"), (-4, "mm", "-0.004"), (20, "cm3", "0.000020")]
)
def test_quantity_that_is_not_zero_is_never_written_as_zero(value: int, unit: str, text: str) -> None:
    assert write("{% quantity value unit part='figure' %}", value=value, unit=unit) == text


def test_quantity_is_rounded_half_to_even() -> None:
    written = [write("{% quantity v 'cm3' part='figure' %}", v=v) for v in (12_345_000, 12_355_000)]

    assert written == ["12.34", "12.36"]


def test_quantity_can_be_split_into_figure_and_unit() -> None:
    tag = "{% quantity 12350000 'cm3' part='figure' %}|{% quantity 0 'cm3' part='unit' %}"

    assert write(tag) == "12.35|m³"


def test_quantity_with_places_keeps_to_them() -> None:
    assert write("{% quantity 11868000 'cm3' places=3 %}") == f"11.868{S}m³"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (4_050_000, f"81{S}bags"),
        (50_000, f"1{S}bag"),
        (-50_000, f"-1{S}bag"),
        (4_058_000, f"81.16{S}bags"),  # 10 m³ by the factor 1.55: 4,058 kg are 81.16 bags
        (0, f"0{S}bags"),
    ],
)
def test_quantity_in_packs_names_the_pack(value: int, text: str) -> None:
    assert write("{% quantity value 'g' pack='bag' content=50000 %}", value=value) == text


def test_quantity_in_a_pack_without_a_plural_is_a_multiple() -> None:
    assert write("{% quantity 3000 'g' pack='crate' content=1000 %}") == f"3{S}× crate"


def test_quantity_in_an_empty_pack_is_refused() -> None:
    with pytest.raises(ValueError, match="content of a bag must be more than 0"):
        write("{% quantity 3000 'g' pack='bag' content=0 %}")


def test_quantity_in_an_unknown_unit_is_refused() -> None:
    with pytest.raises(KeyError, match="furlong"):
        write("{% quantity 3000 'furlong' %}")


@pytest.mark.parametrize(
    "tag", ["{% quantity none 'g' %}", "{% money none %}", "{% quantity none 'g' pack='bag' content=5 %}"]
)
def test_nothing_known_is_a_dash(tag: str) -> None:
    assert write(tag, none=None) == "–"


@pytest.mark.parametrize(
    ("locale", "text"),
    [
        ("en_IN", "12,34,567.89"),
        ("en-in", "12,34,567.89"),
        ("en", "1,234,567.89"),
        ("de", "1.234.567,89"),
    ],
)
def test_quantity_groups_as_the_firm_does(locale: str, text: str) -> None:
    assert write("{% quantity 1234567890 'mm' part='figure' %}", locale=locale) == text


@pytest.mark.parametrize(
    ("minor", "currency", "locale", "text"),
    [
        (1_234_567_850, "INR", "en_IN", "₹1,23,45,678.50"),
        (123_450, "KES", "en_KE", "Ksh1,234.50"),
        (0, "INR", "en_IN", "₹0.00"),
        (-12_345_600, "INR", "en_IN", "-₹1,23,456.00"),
        (5, "INR", "en_IN", "₹0.05"),
        (1_234, "JPY", "en", "¥1,234"),
        (1_234_567, "KWD", "en", "KWD1,234.567"),
        (123_456, "EUR", "de", f"1.234,56{S}€"),
        (10**17, "INR", "en_IN", "₹1,00,00,00,00,00,00,000.00"),
    ],
)
def test_money_is_written_by_currency_and_locale(minor: int, currency: str, locale: str, text: str) -> None:
    assert write("{% money minor %}", minor=minor, currency=currency, locale=locale) == text


def test_money_in_another_currency_than_the_firms() -> None:
    assert write("{% money 123450 'USD' %}", currency="INR") == "$1,234.50"


def test_money_can_be_split_into_figure_and_sign() -> None:
    tag = "{% money 12345600 part='figure' %}|{% money 0 part='unit' %}"

    assert write(tag) == "1,23,456.00|₹"


def test_tags_give_words_for_sentences() -> None:
    tag = "{% quantity 600000 'g' pack='bag' content=50000 as short %}short by {{ short }}"

    assert write(tag) == f"short by 12{S}bags"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (3437.92, "3,437.92"),
        (12.34567, "12.346"),
        (400.0, "400"),
        (0.0004567, "0.000457"),
        (0.05, "0.05"),
        (1.558, "1.558"),
        (0.0, "0"),
        (-0.0001, "-0.0001"),
        (-1e-12, "-0.000000000001"),
        (1234567.0, "12,34,567"),
        (403, "403"),
        ("M20", "M20"),
        (None, "–"),
    ],
)
def test_number_of_a_derivation(value: Any, text: str) -> None:
    assert write("{% number value %}", value=value) == text


def test_without_a_firm_figures_follow_the_language() -> None:
    template = Template("{% load pourtally %}{% quantity 1234567890 'mm' part='figure' %}")

    assert template.render(Context({})) == "1,234,567.89"
