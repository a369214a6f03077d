import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimates.calc import packs
from estimates.calc.packs import Order, PackSize
from estimates.standards import load

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


def test_defaults_follow_supply():
    found = packs.defaults(load.profile("is"))
    assert (found["cement"].content, found["cement"].unit) == (50, "kg")
    # Published masses of a 12 m bar: 4.74, 7.40, 10.65, 18.9, 29.6 kg for 8, 10, 12, 16, 20 mm.
    for size_mm, mass_kg in {8: 4.74, 10: 7.40, 12: 10.65, 16: 18.9, 20: 29.6}.items():
        assert found[f"steel-{size_mm}"].content == pytest.approx(mass_kg, abs=0.07)


def test_of_prefers_a_material_over_its_kind():
    own, kind = PackSize("bundle", 60, "m", "mill"), PackSize("bar", 12, "m", "mill")
    sold = {"steel-8": own, "steel": kind}
    assert packs.of("steel-8", unit="m", packs=sold) is own
    assert packs.of("steel-10", unit="m", packs=sold) is kind
    assert packs.of("formwork", unit="m²", packs=sold) is None


def test_of_refuses_a_pack_in_another_unit():
    with pytest.raises(ValueError, match="the bar of steel-10 is stated in m; state it in kg"):
        packs.of("steel-10", unit="kg", packs={"steel": PackSize("bar", 12, "m", "mill")})
