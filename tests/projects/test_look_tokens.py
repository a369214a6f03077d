"""Contrast of the design tokens, by the formula of WCAG 2.2 (relative luminance and contrast ratio)."""

from __future__ import annotations

import re

import pytest
from django.contrib.staticfiles import finders

SURFACES = ("paper", "tint")
INKS = ("ink", "ink-soft", "edge", "action", "attention", "warning", "sufficient")
ONLY_DECORATION = {"hairline", "grain"}
ENOUGH = 4.5


def stylesheet(name: str) -> str:
    with open(str(finders.find(f"projects/{name}")), encoding="utf-8") as file:  # noqa: PTH123 - any finder
        return re.sub(r"/\*.*?\*/", "", file.read(), flags=re.DOTALL)


def themes() -> dict[str, dict[str, str]]:
    text = stylesheet("tokens.css")
    dark = re.search(r"@media \(prefers-color-scheme: dark\) \{(.*?\n)\}", text, re.DOTALL)
    paper = re.search(r"@media print \{(.*?\n)\}", text, re.DOTALL)
    assert dark is not None
    assert paper is not None
    parts = {"light": text[: dark.start()], "dark": dark.group(1), "print": paper.group(1)}
    return {name: dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", part)) for name, part in parts.items()}


def luminance(colour: str) -> float:
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize(
    ("one", "other", "published"),
    [
        ("#ffffff", "#000000", 21.0),  # WCAG 2.2, contrast ratio: the greatest there is
        ("#777777", "#ffffff", 4.48),  # WebAIM's well-known grey just below the mark
        ("#767676", "#ffffff", 4.54),  # and the one just above it
    ],
)
def test_contrast_formula_matches_published_pairs(one: str, other: str, published: float) -> None:
    assert contrast(one, other) == pytest.approx(published, abs=0.01)


def test_tokens_of_every_theme_are_the_same_set() -> None:
    expected = {*SURFACES, *INKS, *ONLY_DECORATION, "on-action"}

    assert {name: set(colours) for name, colours in themes().items()} == dict.fromkeys(
        ("light", "dark", "print"), expected
    )


@pytest.mark.parametrize("theme", ["light", "dark", "print"])
@pytest.mark.parametrize("surface", SURFACES)
@pytest.mark.parametrize("ink", INKS)
def test_ink_on_surface_has_enough_contrast(theme: str, surface: str, ink: str) -> None:
    colours = themes()[theme]

    assert contrast(colours[ink], colours[surface]) >= ENOUGH


@pytest.mark.parametrize("theme", ["light", "dark", "print"])
def test_words_on_the_action_colour_have_enough_contrast(theme: str) -> None:
    colours = themes()[theme]

    assert contrast(colours["on-action"], colours["action"]) >= ENOUGH


@pytest.mark.parametrize(
    ("token", "colour"),
    [
        ("paper", "#ffffff"),
        ("ink", "#16202b"),
        ("hairline", "#c9d1d9"),
        ("action", "#12436d"),
        ("attention", "#801650"),
        ("warning", "#a8480b"),
        ("sufficient", "#1d6f65"),
    ],
)
def test_light_theme_keeps_the_sheet_colours(token: str, colour: str) -> None:
    assert themes()["light"][token] == colour


@pytest.mark.parametrize("name", ["sheet.css", "drawing.css"])
def test_stylesheet_has_no_colour_of_its_own(name: str) -> None:
    assert re.findall(r"#[0-9a-fA-F]{3,8}\b|rgba?\(|hsla?\(", stylesheet(name)) == []


@pytest.mark.parametrize("name", ["sheet.css", "drawing.css"])
def test_stylesheet_uses_only_tokens_that_exist(name: str) -> None:
    used = set(re.findall(r"var\(--([\w-]+)\)", stylesheet(name)))
    defined = set(re.findall(r"--([\w-]+):", stylesheet("tokens.css")))

    assert used - defined == set()


@pytest.mark.parametrize("name", ["tokens.css", "sheet.css", "drawing.css"])
def test_stylesheet_fetches_nothing(name: str) -> None:
    assert re.findall(r"url\(|@import|https?:", stylesheet(name)) == []
