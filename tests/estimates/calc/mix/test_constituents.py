"""Published mixes are in tests/worked/test_concrete.py; here are refusals, splits and doses."""

from dataclasses import replace

import pytest

from estimates.calc.derivation import Input
from estimates.calc.mix import constituents, methods
from estimates.calc.reading.reader import (
    Admixture,
    DesignedAdmixture,
    DesignedMix,
    MixParts,
    NominalVolumeMix,
)
from estimates.standards import load

IS = load.profile("is")
ONE = Input(1, "m³", "by hand")


def nominal(*parts, **changes):
    given = {"water_cement": 0.5, "stone_split": {"20": 60.0, "10": 40.0}} | changes
    return NominalVolumeMix(kind="nominal_volume", parts=MixParts(*parts), **given)


def designed(**changes):
    given = {
        "cement_kg_m3": 400.0,
        "water_kg_m3": 180.0,
        "sand_kg_m3": 660.0,
        "stone_kg_m3": {"20": 701.0, "10": 467.0},
        "sand_bulk_kg_m3": 1650.0,
        "stone_bulk_kg_m3": {"20": 1402.0, "10": 1556.0},
    }
    return DesignedMix(kind="designed", **(given | changes))


def net(design, *, concrete=ONE):
    return {item.key: item.net for item in constituents.quantities(design, concrete=concrete, profile=IS)}


def test_nominal_splits_stone_by_volume_as_stated():
    found = net(nominal(1, 1.5, 3))
    assert found["stone.20"] / (found["stone.20"] + found["stone.10"]) == pytest.approx(0.6)


def test_nominal_leaves_out_a_stone_size_of_no_share():
    assert "stone.10" not in net(nominal(1, 1.5, 3, stone_split={"20": 100.0, "10": 0.0}))


def test_nominal_mass_is_volume_at_the_stated_bulk_density():
    found = net(nominal(1, 1.5, 3, method="dry_volume_154"))
    # 0.42 m³ of sand at 1,600 kg/m³; 0.504 m³ of 20 mm stone at 1,500 kg/m³.
    assert found["sand.mass"] == pytest.approx(672)
    assert found["stone.20.mass"] == pytest.approx(756)


def test_nominal_water_is_by_mass_of_cement():
    # 8 bags at 0.52 take 26 L each (published batch for one bag): 8 × 26 = 208 L for 400 kg.
    found = net(nominal(1, 1.5, 3, water_cement=0.52))
    assert found["water"] == pytest.approx(208, abs=0.05)


def test_nominal_admixture_is_dosed_per_bag():
    dose = Admixture(material="waterproofer", dose_ml_per_bag=200.0)
    found = net(nominal(1, 1.5, 3, method="dry_volume_154", admixtures=(dose,)))
    # 403.2 kg are 8.064 bags of 50 kg, at 200 ml.
    assert found["admixture.waterproofer"] == pytest.approx(1.6128)


def test_nominal_uses_the_profiles_own_method_when_the_sheet_names_none():
    assert net(nominal(1, 2, 4)) == net(nominal(1, 2, 4, method="analysis_of_rates"))


def test_unknown_method_is_refused_with_those_that_are_known():
    with pytest.raises(
        ValueError, match=r"'half_volume' is not known .* absolute_volumes, analysis_of_rates, dry_volume_152"
    ):
        net(nominal(1, 1.5, 3, method="half_volume"))


def test_designed_mix_takes_the_drawings_masses():
    found = net(designed(), concrete=Input(12.5, "m³", "by hand"))
    # 12.5 m³ × kg/m³; loose volume at the bulk densities of the sheet: 701 / 1402 = 0.5, 660 / 1650 = 0.4.
    assert found["cement"] == pytest.approx(5000)
    assert found["water"] == pytest.approx(2250)
    assert found["sand"] == pytest.approx(5.0)
    assert found["stone.20"] == pytest.approx(6.25)
    assert found["stone.20.mass"] == pytest.approx(8762.5)


def test_designed_admixture_is_by_mass_and_bought_by_volume():
    dose = DesignedAdmixture(material="plasticiser", dose_kg_m3=2.4, density_kg_l=1.2)
    assert net(designed(admixtures=(dose,)))["admixture.plasticiser"] == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("method", "percent"),
    [("dry_volume_152", 1.333), ("dry_volume_154", 2.667), ("analysis_of_rates", 3.867)],
)
def test_loss_held_is_what_the_factor_has_above_one_and_a_half(method, percent):
    assert methods.loss_held(nominal(1, 1.5, 3, method=method), profile=IS) == pytest.approx(
        percent, abs=1e-3
    )


def test_loss_held_of_a_designed_mix_is_nothing():
    assert methods.loss_held(designed(), profile=IS) == 0


def test_dry_factor_without_room_for_a_loss_is_refused():
    key = "mix.dry_volume_152.dry_factor"
    low = replace(IS, values={**IS.values, key: replace(IS.value(key), value=1.45)})
    with pytest.raises(load.StandardsError, match=r"dry factor 1\.45 is below 1\.5"):
        methods.loss_held(nominal(1, 1.5, 3, method="dry_volume_152"), profile=low)


def test_bought_lines_carry_the_firms_material_codes():
    codes = [item.material for item in constituents.quantities(nominal(1, 1.5, 3), concrete=ONE, profile=IS)]
    assert codes == ["cement", "sand", None, "stone-20", None, "stone-10", None, None]
