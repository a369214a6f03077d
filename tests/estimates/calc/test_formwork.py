import pytest

from estimates.calc import concrete
from estimates.calc.formwork import contact
from estimates.standards import load
from tests.factories.solids import Rib, stacked

IS = load.profile("is")
ROOM = [(0, 0), (4000, 0), (4000, 3000), (0, 3000)]


def net(quantities):
    return {item.key: item.net for item in quantities}


def test_formwork_of_a_beam_by_the_measurement_rule():
    # IS 1200 part 5 example 2h(L + B) for the sides of a rectangular solid: 2 × 0.3 × (4 + 0.2) = 2.52.
    stack = stacked(ROOM, thickness_mm=100, beams=[Rib((0, 1500), (4000, 1500))])
    assert net(contact.quantities(stack, profile=IS)) == pytest.approx(
        {
            "formwork.slab_soffit": 11.2,
            "formwork.beam_soffit": 0.8,
            "formwork.beam_side": 2.52,
            "formwork.edge": 1.4,
            "formwork.total": 15.92,
        }
    )


def test_formwork_without_beams_states_their_faces_as_nothing():
    found = net(contact.quantities(stacked(ROOM, thickness_mm=100), profile=IS))
    assert (found["formwork.beam_soffit"], found["formwork.beam_side"]) == (0, 0)


def test_only_the_total_is_bought():
    bought = [
        item.key for item in contact.quantities(stacked(ROOM, thickness_mm=100), profile=IS) if item.material
    ]
    assert bought == ["formwork.total"]


def test_soffits_together_are_the_slab_in_plan():
    ribs = [Rib((0, 1500), (4000, 1500)), Rib((2000, 0), (2000, 3000), depth_mm=500)]
    found = net(contact.quantities(stacked(ROOM, thickness_mm=100, beams=ribs), profile=IS))
    assert found["formwork.slab_soffit"] + found["formwork.beam_soffit"] == pytest.approx(12)


def test_concrete_lines_add_up_to_the_stack():
    ribs = [Rib((0, 1500), (4000, 1500), depth_mm=500), Rib((2000, 0), (2000, 3000))]
    stack = stacked(ROOM, thickness_mm=100, beams=ribs)
    found = net(concrete.quantities(stack, profile=IS))
    # By hand in test_geometry: 1.2 + 1.36 × 0.3 + 0.8 × 0.1.
    assert found == pytest.approx({"concrete.slab": 1.2, "concrete.beams": 0.488, "concrete.net": 1.688})
