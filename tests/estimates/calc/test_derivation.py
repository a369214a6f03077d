import pytest

from estimates.calc import derivation
from estimates.calc.derivation import Input, Quantity


@pytest.mark.parametrize(
    ("formula", "expected"),
    [
        ("1 + 2 * 3", 7),
        ("(1 + 2) * 3", 9),
        ("2 ** 3 / 4", 2),
        ("-a + 10", 7),
        ("ceil(10 / a) + floor(10 / a)", 7),
        ("min(a, 2, 5) + max(a, 2)", 5),
        ("1.5e2", 150),
    ],
)
def test_evaluate_ordinary_arithmetic(formula, expected):
    assert derivation.evaluate(formula, values={"a": 3}) == expected


@pytest.mark.parametrize(
    ("formula", "message"),
    [
        ("__import__('os')", "cannot hold"),
        ("a.real", "cannot hold"),
        ("a if a else 1", "cannot hold"),
        ("[a]", "cannot hold"),
        ("'text'", "cannot hold"),
        ("True", "cannot hold"),
        ("a % 2", "cannot hold"),
        ("sum(a)", "cannot hold"),
        ("min(a, key=a)", "cannot hold"),
        ("ceil()", "cannot hold"),
        ("a + b", "'b' has no value"),
        ("a +", "cannot be read"),
        ("a / 0", "cannot be worked out"),
        ("10 ** 400", "cannot be worked out"),
        ("a" + " + a" * 10_000, "longer than"),
        ("(" * 500 + "a" + ")" * 500, "cannot be read"),
    ],
)
def test_evaluate_refuses_anything_else(formula, message):
    with pytest.raises(ValueError, match=message):
        derivation.evaluate(formula, values={"a": 3})


def test_names_leaves_functions_out():
    assert derivation.names("ceil(area / 2) + depth") == {"area", "depth"}


def test_quantity_is_its_formula_worked_out():
    inputs = {"area": Input(80, "m²", "drawing"), "depth": Input(0.125, "m", "drawing")}
    texts = {"member": "slab", "title": "Concrete", "method": "net", "source": "geometry"}
    quantity = Quantity(key="concrete.net", unit="m³", formula="area * depth", inputs=inputs, **texts)
    assert quantity.net == 10
    assert derivation.carried(quantity) == Input(10, "m³", "line concrete.net")
