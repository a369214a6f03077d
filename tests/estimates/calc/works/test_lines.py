"""What a sheet asks for beside concrete and steel comes into the bill, and nothing else does."""

from dataclasses import replace

import pytest

from estimates.calc import bill
from estimates.calc.sheet.works import Consumable, Crew, Plant, Supply, TurnUp, Waterproofing
from estimates.standards import load
from tests.worked import drawn

IS = load.profile("is")
ASKED = ("ready_mixed", "consumable", "waterproofing", "plant", "crew")


@pytest.fixture(scope="module")
def house():
    return drawn.ridge_house()


def lines(sheet):
    return {line.key: line for line in bill.compute(sheet, profile=IS).lines}


def test_nothing_is_bought_that_the_sheet_does_not_ask_for(house):
    assert [key for key in lines(house) if key.startswith(ASKED)] == []


def test_ready_mixed_is_bought_in_place_of_its_constituents(house):
    found = lines(replace(house, supply=Supply(kind="ready_mixed", truck_m3=6.0)))

    bought = {line.material for line in found.values() if line.material}
    assert "ready-mixed" in bought
    assert bought.isdisjoint({"cement", "sand", "stone-20", "stone-10", "waterproofer"})
    # The constituents still stand there, to be compared.
    assert found["cement"].net == pytest.approx(lines(house)["cement"].net)
    # 12.534 m³ and 2 % are 12.784 m³: 26 steps of half a cubic metre, in three trucks of 6 m³.
    assert found["ready_mixed.concrete"].order == 13.0
    assert found["ready_mixed.loads"].net == 3


def test_site_mixed_with_a_truck_only_states_the_loads(house):
    found = lines(replace(house, supply=Supply(kind="site_mixed", truck_m3=6.0)))

    assert found["cement"].material == "cement"
    assert "ready_mixed.concrete" not in found
    assert (found["ready_mixed.loads"].material, found["ready_mixed.loads"].net) == (None, 3)


def test_works_come_with_their_packs(house):
    asked = replace(
        house,
        consumables=(Consumable(item="mould_oil", rate=0.05), Consumable(item="rain_cover")),
        waterproofing=Waterproofing(
            system="crystalline_slurry", turn_ups=(TurnUp(height_mm=300, edges=(1,)),)
        ),
        plant=Plant(mixer_days=1.5),
        crew=Crew(mason_days=2.5),
    )
    found = lines(asked)

    area = found["formwork.total"].net
    assert found["consumable.mould_oil"].net == pytest.approx(0.05 * area)
    assert found["consumable.rain_cover"].net == pytest.approx(70.885)
    assert found["waterproofing.coats"].material == "waterproofing-coat"
    # Hired and paid by whole days; the half day over is surplus, not cost.
    assert (found["plant.mixer"].net, found["plant.mixer"].order) == (1.5, 2)
    assert (found["crew.mason"].net, found["crew.mason"].order) == (2.5, 3)
    assert found["crew.labourer"].net == pytest.approx(2.0 * found["concrete.net"].net)


def test_compound_takes_the_place_of_water_and_cover(house):
    found = lines(replace(house, curing=replace(house.curing, method="compound")))

    assert found["curing.compound"].net == pytest.approx(70.885 / 5)
    assert {"curing.water", "curing.cover"}.isdisjoint(found)
