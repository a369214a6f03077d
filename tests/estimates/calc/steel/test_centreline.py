"""The geometry of bent bars against shapely, and the catalogues' formulas against the geometry."""

import itertools
import math

import numpy as np
import pytest
import shapely

from estimates.calc.sheet.steel import BarMark, SteelMethods
from estimates.calc.steel import centreline, rules, shapes
from estimates.standards import catalogues, load

PROFILE = load.profile("is")
BS = catalogues.load("bs8666-2005")
UNROUNDED = rules.choose(
    SteelMethods(catalogue="bs8666-2005", length_rounding="none"), profile=load.profile("en")
)
SIZES = sorted(BS.bends)
DIMENSIONS = {"A": 1130.0, "B": 1475.0, "C": 905.0, "D": 1220.0, "E": 990.0}
PER_BEND = 0.08  # of the size: how far BS 8666's 0.5r + d lies from the geometry of one right bend


def formula(code, size_mm, dimensions):
    bar = BarMark(mark="M", member="slab", size_mm=size_mm, shape=code, dimensions=dimensions, per_member=1)
    return shapes.cutting_length(bar, rules=UNROUNDED).length_mm


def headings(shape):
    """The directions of a figure's legs in quarter turns, and so the sense of each bend."""
    drawn = [leg.angle for leg in shape.legs]
    return [1 if math.sin(math.radians(b - a)) > 0 else -1 for a, b in itertools.pairwise(drawn)]


RIGHT = [code for code, shape in BS.shapes.items() if shape.right_angled]


def test_every_common_right_angled_shape_is_compared():
    # reference 1.1: the shapes whose formula is the sum of outside dimensions less n (0.5r + d), n bends.
    assert set(RIGHT) == {"11", "21", "22", "23", "31", "32", "41", "44", "51", "63", "98"}


@pytest.mark.parametrize("size_mm", SIZES)
@pytest.mark.parametrize("code", RIGHT)
def test_formula_agrees_with_the_geometry_of_the_bar(code, size_mm):
    shape = BS.shapes[code]
    given = {letter: DIMENSIONS[letter] for letter in shape.forms[0].letters}
    sides = [(given | {"D": given.get("D", given.get("C"))})[leg.letter] for leg in shape.legs]
    turns = headings(shape)
    line = centreline.right_angled(
        sides, turns=turns, size_mm=size_mm, radius_mm=BS.bends[size_mm].values["r"]
    )
    assert formula(code, size_mm, given) == pytest.approx(line.length, abs=PER_BEND * size_mm * len(turns))


@pytest.mark.parametrize("size_mm", [12, 16])
def test_minimised_links_agree_with_the_geometry(size_mm):
    # The end legs of the short form are those of the full one that give its length, above its floor of 160.
    radius = BS.bends[size_mm].values["r"]
    end = 13 * size_mm  # 2C - 2.5r - 5d = 16d at r = 2d
    line = centreline.right_angled(
        [end, 400, 250, 400, 250, end], turns=[1] * 5, size_mm=size_mm, radius_mm=radius
    )
    short = formula("51", size_mm, {"A": 400, "B": 250})
    assert short == pytest.approx(line.length, abs=PER_BEND * size_mm * 5)


@pytest.mark.parametrize(("size_mm", "radius_mm"), [(8, 16), (12, 24), (20, 70), (40, 140)])
def test_geometry_agrees_with_shapely(size_mm, radius_mm):
    # Independent: shapely measures the fine polyline and the outside box of the bar about it.
    line = centreline.right_angled([800, 2000, 700], turns=[1, 1], size_mm=size_mm, radius_mm=radius_mm)
    drawn = shapely.LineString(line.places)
    assert drawn.length == pytest.approx(line.length, rel=0.001)
    bar = drawn.buffer(size_mm / 2, cap_style="flat", quad_segs=64)
    left, low, right, high = bar.bounds
    assert high - low == pytest.approx(2000, abs=0.5)
    assert right - left == pytest.approx(800, abs=0.5)


@pytest.mark.parametrize(
    ("size_mm", "expected"),
    # reference 1.4: what 0.5r + d and the exact loss of one right bend differ by, in mm.
    [(8, -0.58), (10, -0.73), (12, -0.88), (16, -1.17), (20, 0.66), (25, 0.79), (32, 1.06), (40, 1.33)],
)
def test_one_right_bend_differs_from_the_geometry_as_stated(size_mm, expected):
    radius = BS.bends[size_mm].values["r"]
    line = centreline.right_angled([2000, 2000], turns=[1], size_mm=size_mm, radius_mm=radius)
    assert line.length - formula("11", size_mm, {"A": 2000, "B": 2000}) == pytest.approx(expected, abs=0.011)


@pytest.mark.parametrize("radius_mm", [100, 250, 400])
def test_bend_of_a_stated_radius_is_exact(radius_mm):
    line = centreline.right_angled([2000, 2000], turns=[1], size_mm=16, radius_mm=radius_mm)
    found = formula("12", 16, {"A": 2000, "B": 2000, "R": radius_mm})
    assert found == pytest.approx(line.length, abs=0.002 * radius_mm + 0.3)


@pytest.mark.parametrize(("size_mm", "width"), [(8, 200), (16, 300), (25, 500)])
def test_half_circle_agrees_with_the_geometry(size_mm, width):
    # A and C to the outside of the half-circle: straights without its half width, and π/2 (B - d) round.
    straights = 2 * (1000 - width / 2)
    exact = straights + math.pi / 2 * (width - size_mm)
    found = formula("13", size_mm, {"A": 1000, "B": width, "C": 1000})
    assert found == pytest.approx(exact, abs=0.002 * width + 0.03 * size_mm)


@pytest.mark.parametrize(("across", "pitch", "turns"), [(400, 60, 10), (400, 150, 7), (300, 300, 3)])
def test_helix_agrees_with_a_curve_in_space(across, pitch, turns):
    # Independent: a fine polyline in space. A pitch of up to a fifth of the diameter is left out: 0.3 %.
    angle = np.linspace(0, 2 * np.pi * turns, 20_000)
    radius = (across - 8) / 2
    curve = np.column_stack((radius * np.cos(angle), radius * np.sin(angle), pitch * angle / (2 * np.pi)))
    exact = np.linalg.norm(np.diff(curve, axis=0), axis=1).sum()
    found = formula("77", 8, {"A": across, "B": pitch, "C": turns})
    assert found == pytest.approx(exact, rel=0.003 if pitch <= across / 5 else 1e-6)


def test_line_of_one_place_is_refused():
    with pytest.raises(ValueError, match="1 places make no line"):
        centreline.rounded([centreline.Corner((0, 0))])


def test_straight_corner_and_sharp_corner_stay():
    line = centreline.rounded(
        [centreline.Corner((0, 0)), centreline.Corner((5, 0), 2), centreline.Corner((9, 0))]
    )
    assert (line.length, line.arcs[0].length) == (9, 0)
    corner = centreline.rounded(
        [centreline.Corner((0, 0)), centreline.Corner((3, 0)), centreline.Corner((3, 4))]
    )
    assert (corner.length, corner.places[1]) == (7, (3, 0))
