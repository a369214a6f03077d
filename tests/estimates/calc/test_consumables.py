import pytest

from estimates.calc import consumables
from estimates.calc.derivation import Input
from estimates.standards import load

IS = load.profile("is")


def test_binding_wire_is_one_percent_of_the_steel():
    # Published rate analysis: 10 kg of wire for one tonne.
    assert consumables.binding_wire(Input(1000, "kg", ""), profile=IS).net == pytest.approx(10)
