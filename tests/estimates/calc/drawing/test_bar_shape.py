"""Every shape has a figure with its letters, drawn within its paper, true to its legs."""

import math

import pytest

from estimates.calc.drawing import bar_shape
from estimates.standards import catalogues

SHAPES = [
    pytest.param(shape, id=f"{name}:{code}")
    for name in catalogues.known()
    for code, shape in catalogues.load(name).shapes.items()
]
WITHOUT = {"64", "99"}  # no figure is known for these


@pytest.mark.parametrize("shape", SHAPES)
def test_figure_shows_every_letter_of_the_length(shape):
    figure = bar_shape.figure(shape)
    if shape.code in WITHOUT:
        assert figure is None
        return
    letters = [letter.words for letter in figure.letters]
    needed = set.intersection(*(set(form.letters) for form in shape.forms))
    assert needed <= set(letters) <= shape.letters
    assert len(set(letters)) == len(letters)


@pytest.mark.parametrize("shape", SHAPES)
def test_figure_lies_within_its_paper(shape):
    figure = bar_shape.figure(shape)
    if figure is None:
        return
    right, low = figure.left + figure.width, figure.top + figure.height
    places = [*figure.bar.places, *((letter.x, letter.y) for letter in figure.letters)]
    places += [place for line in figure.lines for place in line.places]
    assert all(figure.left <= x <= right and figure.top <= y <= low for x, y in places)
    assert figure.width < 260


@pytest.mark.parametrize("code", ["11", "21", "41", "51"])
def test_bar_is_as_long_as_its_legs_less_the_rounds(code):
    # Independent: each right bend of radius ρ saves 2ρ - πρ/2 of the legs' sum; ρ = 9 units.
    shape = catalogues.load("bs8666-2005").shapes[code]
    figure = bar_shape.figure(shape)
    drawn = sum(math.dist(a, b) for a, b in zip(figure.bar.places, figure.bar.places[1:], strict=False))
    saved = len(shape.bends) * (2 - math.pi / 2) * 9
    assert drawn == pytest.approx(sum(leg.drawn for leg in shape.legs) - saved, abs=0.2 * len(shape.bends))
