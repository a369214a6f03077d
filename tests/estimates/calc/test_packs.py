import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimates.calc import packs
from estimates.calc.derivation import Input, Quantity
from estimates.calc.packs import Order, PackSize
from estimates.standards import load

IS = load.profile("is")
BAG = PackSize("bag", 50, "kg", "works manual")
SACK = PackSize("sack", 94, "lb", "American sack, one cubic foot loose")


@pytest.mark.parametrize(
    ("quantity", "expected"),
    [
        (0, Order(0, 0, 0)),
        (0.001, Order(1, 50, 49.999)),
        (50, Order(1, 50, 0)),
        (50.001, Order(2, 100, 49.999)),
        (800, Order(16, 800, 0)),
    ],
)
def test_rounded_up_to_whole_bags(quantity, expected):
    found = packs.rounded_up(quantity, pack=BAG)
    assert (found.packs, found.quantity) == (expected.packs, expected.quantity)
    assert found.surplus == pytest.approx(expected.surplus, abs=1e-9)


def test_rounded_up_bears_the_noise_of_floats():
    # 0.1 summed thirty times is 3.0000000000000013: thirty packs of 0.1, not thirty-one.
    noisy = sum([0.1] * 30)
    assert noisy > 3
    assert packs.rounded_up(noisy, pack=PackSize("cup", 0.1, "L", "")).packs == 30


def test_rounded_up_published_sacks():
    # US Army course EN5466: 494.2 sacks are ordered as 495.
    assert packs.rounded_up(494.2 * 94, pack=SACK).packs == 495


@given(quantity=st.floats(0, 1e7), content=st.floats(0.01, 1e4))
def test_rounded_up_is_enough_and_never_a_pack_too_many(quantity, content):
    found = packs.rounded_up(quantity, pack=PackSize("pack", content, "kg", ""))
    assert found.quantity >= quantity * (1 - 1e-8) - 1e-8 * content
    assert (found.packs - 1) * content < quantity or found.packs == 0
    assert found.surplus >= 0


@pytest.mark.parametrize("quantity", [-1, float("nan"), float("inf")])
def test_rounded_up_refuses_what_cannot_be_ordered(quantity):
    with pytest.raises(ValueError, match="must be 0 or more"):
        packs.rounded_up(quantity, pack=BAG)


def test_rounded_up_refuses_an_empty_pack():
    with pytest.raises(ValueError, match="holds nothing"):
        packs.rounded_up(1, pack=PackSize("bag", 0, "kg", ""))


def bought(material, *, unit="kg", inputs=None):
    texts = {"key": material, "member": "", "title": "", "method": "", "source": "", "formula": "1"}
    return Quantity(**texts, unit=unit, inputs=inputs or {}, material=material)


def test_defaults_follow_supply():
    found = packs.defaults(IS)
    assert (found["cement"].content, found["cement"].unit) == (50, "kg")
    assert (found["steel"].content, found["steel"].unit) == (12, "m")


# Published masses of a 12 m bar.
@pytest.mark.parametrize(("size_mm", "mass_kg"), [(8, 4.74), (10, 7.40), (12, 10.65), (16, 18.9), (20, 29.6)])
def test_of_a_bar_holds_its_mass(size_mm, mass_kg):
    per_metre = Input(IS.bar(size_mm).mass_kg_per_m, "kg/m", "bar table")
    pack = packs.of(
        bought(f"steel-{size_mm}", inputs={"mass_per_metre": per_metre}), packs=packs.defaults(IS)
    )
    assert (pack.name, pack.unit) == ("12 m bar", "kg")
    assert pack.content == pytest.approx(mass_kg, abs=0.07)


def test_of_prefers_a_material_over_its_kind():
    own, kind = PackSize("load", 6, "m³", "yard"), PackSize("load", 0.5, "m³", "yard")
    sold = {"stone-20": own, "stone": kind}
    assert packs.of(bought("stone-20", unit="m³"), packs=sold) is own
    assert packs.of(bought("stone-10", unit="m³"), packs=sold) is kind


def test_of_what_is_sold_by_any_quantity_or_not_at_all_is_nothing():
    assert packs.of(bought("formwork", unit="m²"), packs={"steel": BAG}) is None
    assert packs.of(bought(None), packs={"cement": BAG}) is None


def test_of_refuses_a_pack_in_another_unit():
    with pytest.raises(ValueError, match="the load of sand is stated in t; state it in m³"):
        packs.of(bought("sand", unit="m³"), packs={"sand": PackSize("load", 10, "t", "yard")})
