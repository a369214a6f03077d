"""Bar masses, bundles, counts and schedules against published figures; each names source and tolerance."""

import pint
import pytest

from estimates.calc import packs
from estimates.calc.derivation import Input, Quantity
from estimates.calc.sheet.steel import BarMark, CountRule, SteelMethods
from estimates.calc.steel import counts, rules, shapes, wire
from estimates.standards import load

IS, EN, ACI = (load.profile(name) for name in ("is", "en", "aci"))
UNITS = pint.UnitRegistry()

# BS 4449:1997 table 1, nominal area and mass, as steel-rebar.com and midlandsteelsupplies.ie reprint it.
BS_4449 = {
    6: (28.3, 0.222),
    8: (50.3, 0.395),
    10: (78.5, 0.616),
    12: (113.1, 0.888),
    16: (201.1, 1.579),
    20: (314.2, 2.466),
    25: (490.9, 3.854),
    32: (804.2, 6.313),
    40: (1256.6, 9.864),
    50: (1963.5, 15.413),
}


@pytest.mark.parametrize(("size", "published"), BS_4449.items())
def test_european_bars_are_those_of_the_table(size, published):
    # 10 mm: the edition of 2005 prints 0.617, one unit of the third digit more.
    bar = EN.bar(size)
    assert (bar.area_mm2, bar.mass_kg_per_m) == pytest.approx(published, abs=0.0011 if size == 10 else 1e-9)


# The same pages, metres in a tonne. Their 69 m for 50 mm is wrong (64.9), and left out.
METRES_PER_TONNE = {6: 4505, 8: 2532, 10: 1623, 12: 1126, 16: 633, 20: 406, 25: 259, 32: 158, 40: 101}


@pytest.mark.parametrize(("size", "metres"), METRES_PER_TONNE.items())
def test_metres_in_a_tonne_are_those_of_the_table(size, metres):
    # Whole metres; for 10 mm the page divides by 0.616.
    assert 1000 / EN.bar(size).mass_kg_per_m == pytest.approx(metres, rel=0.004 if size != 10 else 0.002)


# ASTM A615/A615M: designation, area in², mass lb/ft, as lrak.net has it (its #3 of 0.52 kg/m is a misprint).
A615 = {
    "#3": (10, 0.11, 0.376),
    "#4": (13, 0.20, 0.668),
    "#5": (16, 0.31, 1.043),
    "#6": (19, 0.44, 1.502),
    "#7": (22, 0.60, 2.044),
    "#8": (25, 0.79, 2.670),
    "#9": (29, 1.00, 3.400),
    "#10": (32, 1.27, 4.303),
    "#11": (36, 1.56, 5.313),
    "#14": (43, 2.25, 7.650),
    "#18": (57, 4.00, 13.600),
}


@pytest.mark.parametrize(("name", "size", "inches", "pounds"), [(name, *row) for name, row in A615.items()])
def test_american_bars_are_those_of_the_table(name, size, inches, pounds):
    bar = ACI.bar(size)
    assert bar.designation == name
    # Independent: a general library turns the printed units; three decimals of kg/m, whole mm².
    kilograms = UNITS.Quantity(pounds, "lb/ft").to("kg/m").magnitude
    assert bar.mass_kg_per_m == pytest.approx(kilograms, abs=0.0008)
    assert bar.area_mm2 == pytest.approx(UNITS.Quantity(inches, "in**2").to("mm**2").magnitude, abs=0.6)


def test_mass_is_looked_up_and_never_worked_out_from_the_diameter():
    # 490 lb/ft³ × 0.31 in² is 1.055 lb/ft; the law is the printed 1.043: 1.552 kg/m, where d²/162 gives 1.56.
    assert ACI.bar(16).mass_kg_per_m == 1.552
    assert IS.bar(16).mass_kg_per_m == 1.58


# Bars of 12 m in a tonne at nominal mass, from the batch table of IS 1786 (jaibharatsteel.com, shivatmt.com).
BARS_PER_TONNE = {6: 375.4, 8: 211.0, 10: 135.1, 12: 93.8, 16: 52.7, 20: 33.7, 25: 21.6, 28: 17.3, 32: 13.2}


@pytest.mark.parametrize(("size", "bars"), BARS_PER_TONNE.items())
def test_bars_of_12_m_in_a_tonne(size, bars):
    assert 1000 / (12 * IS.bar(size).mass_kg_per_m) == pytest.approx(bars, abs=0.051)


# Published (civilstep.com and others): a bar of 12 m in kg, by d²/162 for 10 and 16 mm.
BAR_OF_12_M = {8: 4.74, 10: 7.40, 12: 10.65, 16: 18.9, 20: 29.6}


@pytest.mark.parametrize(("size", "kilograms"), BAR_OF_12_M.items())
def test_bar_of_12_m_has_its_mass(size, kilograms):
    assert 12 * IS.bar(size).mass_kg_per_m == pytest.approx(kilograms, rel=0.004)


# Published (paramvisions.com): bars in a bundle and its mass; its 12 mm is weighed with 0.89 kg/m.
BUNDLES = {8: (10, 47.40), 10: (7, 51.83), 12: (5, 53.40), 16: (3, 56.88), 20: (2, 59.28)}


@pytest.mark.parametrize(("size", "bars", "kilograms"), [(size, *row) for size, row in BUNDLES.items()])
def test_bundle_has_the_bars_and_the_mass_of_the_page(size, bars, kilograms):
    (bundle,) = packs.bundles(IS, material=f"steel-{size}")
    assert bundle.content == 12 * bars
    tolerance = 0.003 if size == 12 else 0.0002
    assert bundle.content * IS.bar(size).mass_kg_per_m == pytest.approx(kilograms, rel=tolerance)


def steel(kilograms):
    texts = {"member": "", "title": "", "method": "", "source": ""}
    return Quantity(key="steel.total", unit="kg", formula=str(kilograms), inputs={}, **texts)


@pytest.mark.parametrize(
    ("method", "sizes", "area", "published"),
    [
        # paramvisions.com: 1 %, 10 kg for a tonne; others have 9 to 13.
        ("by_mass", {10: 1000}, 0, 10),
        # allinterview.com: 6 to 12 mm 10 kg, 16 to 25 mm 6 kg, 32 to 50 mm 4 kg a tonne.
        ("by_size", {10: 1000}, 0, 10),
        ("by_size", {25: 1000}, 0, 6),
        ("by_size", {32: 1000}, 0, 4),
        ("by_size", {8: 500, 16: 1000, 40: 250}, 0, 12),
        # civilatwork.blogspot.com: about 2.7 kg of 18 gauge for 10 m² of slab.
        ("by_area", {10: 800}, 10, 2.7),
    ],
)
def test_binding_wire_is_that_of_the_pages(method, sizes, area, published):
    found = wire.quantity(
        steel(sum(sizes.values())),
        sizes={float(size): steel(mass) for size, mass in sizes.items()},
        area=Input(area, "m²", "plan"),
        method=method,
        profile=IS,
    )
    assert found.net == pytest.approx(published, rel=1e-9)


def counted(length, spacing, *, method, cover=25):
    chosen = rules.choose(SteelMethods(count=method), profile=IS)
    rule = CountRule(length_mm=length, spacing_mm=spacing)
    return counts.by_rule(rule, rules=chosen, cover_mm=cover, read_in="S").count


@pytest.mark.parametrize(
    ("method", "length", "spacing", "published"),
    [
        # civilplanets.com, one-way slab of 6,000 × 2,500: 41 main bars and 18 distribution bars at 150.
        ("spacing_plus_one_raised", 6000, 150, 41),
        ("spacing_plus_one_raised", 2500, 150, 18),
        # myengineeringsupport.com, the same slab: 41, but 17 distribution bars.
        ("spacing_plus_one_dropped", 6000, 150, 41),
        ("spacing_plus_one_dropped", 2500, 150, 17),
        # engineering-society.com, two-way slab of 3 × 4 m, cover 20: 3960/150 = 26.4 → 27; 2960/200 + 1 → 16.
        ("spacing_raised", 3960, 150, 27),
        ("spacing_plus_one_raised", 2960, 200, 16),
        # The published (length - covers) / spacing + 1, rounded up, on the same numbers with cover 25.
        ("clear_spacing_plus_one_raised", 6000, 150, 41),
        ("clear_spacing_plus_one_raised", 2500, 150, 18),
    ],
)
def test_published_counts_stand_each_under_its_method(method, length, spacing, published):
    assert counted(length, spacing, method=method) == published


class TestOneWaySlabOfCivilplanets:
    """Published: 41 main bars of 10 mm, 2.95 m, 74.98 kg; 18 of 8 mm, 5.95 m, 42.84 kg; 0.62, 0.40 kg/m.

    With the standard's 0.617 and 0.395 they are 0.5 and 1.3 % lighter: the page's rounding of the table.
    """

    def test_main_bars(self):
        assert 41 * 2.95 * IS.bar(10).mass_kg_per_m == pytest.approx(74.98, rel=0.006)

    def test_distribution_bars(self):
        assert 18 * 5.95 * IS.bar(8).mass_kg_per_m == pytest.approx(42.84, rel=0.013)


class TestTwoWaySlab:
    """Published (engineering-society.com): 79.92 m of 16 mm and 63.36 m of 10 mm, by d²/162; 165.3 kg."""

    def test_masses(self):
        masses = 79.92 * IS.bar(16).mass_kg_per_m, 63.36 * IS.bar(10).mass_kg_per_m
        assert masses == pytest.approx((126.2, 39.1), rel=0.001)
        assert sum(masses) == pytest.approx(165.3, rel=0.001)


def straight_and_bent(shape, size, given, **methods):
    bar = BarMark(mark="M", member="x", size_mm=size, shape=shape, dimensions=given, per_member=1)
    return shapes.cutting_length(bar, rules=rules.choose(SteelMethods(**methods), profile=IS)).length_mm


@pytest.mark.parametrize("size", [8, 10, 12, 16, 20, 25])
def test_site_rule_takes_two_diameters_off_a_right_bend(size):
    # Published (civilsnapshot.com): 90° 2d; IS 2502 with R = 2d takes off R/2 + d, the same.
    for method in ("site_2d", "is2502_r2"):
        assert straight_and_bent("l", size, {"A": 1000, "B": 500}, bend=method) == 1500 - 2 * size


@pytest.mark.parametrize("size", [8, 10, 12])
def test_stirrups_of_two_published_rules_differ_as_their_dimensions_do(size):
    # Published: 2 (A + E) + 24d inside, 2 (A + B) + 16d outside: 8d less for the same figures.
    figures = {"A": 200, "B": 400}
    inside = straight_and_bent("stirrup", size, figures, stirrup="inside_24d")
    outside = straight_and_bent("stirrup", size, figures, stirrup="outside_16d")
    assert (inside, outside) == (1200 + 24 * size, 1200 + 16 * size)
