"""The formula of a bill line: plain arithmetic over named inputs, which anyone can redo."""

import ast
import math
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from estimates.standards.load import Value

_OPERATORS: Final[Mapping[type[ast.operator], Callable[[float, float], float]]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: math.pow,
}
_FUNCTIONS: Final[Mapping[str, Callable[..., float]]] = {
    "min": min,
    "max": max,
    "ceil": math.ceil,
    "floor": math.floor,
}
_MAX_CHARACTERS: Final = 20_000
_Work = Callable[[Mapping[str, float]], float]


@dataclass(frozen=True, slots=True)
class Input:
    """A number that goes into a formula, with its unit and where it comes from."""

    value: float
    unit: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """A quantity with its derivation, before allowance and packs.

    `material` is the code of what is bought, None for a quantity that is only stated; `kind` names the
    allowance that it takes.
    """

    key: str
    member: str
    title: str
    unit: str
    formula: str
    inputs: Mapping[str, Input]
    method: str
    source: str
    material: str | None = None
    kind: str | None = None

    @property
    def net(self) -> float:
        """The formula worked out from its inputs, in `unit`."""
        return work_out(self.formula, inputs=self.inputs)


def cited(value: Value) -> Input:
    """A standards value as an input, its citation as the source.

    Source: derived: the value's own citation.

    Args:
        value: the value.

    Returns:
        The input, in the value's unit.

    >>> from estimates.standards import load
    >>> cited(load.profile("is").value("density.cement"))
    Input(value=1440.0, unit='kg/m³', source='is-875-1-1987, table 1 (secondary)')
    """
    return Input(value=value.value, unit=value.unit, source=value.citation)


def carried(quantity: Quantity) -> Input:
    """The net of another line as an input, its key as the source.

    Source: derived: the other line's formula.

    Args:
        quantity: the other line's quantity.

    Returns:
        The input, in the other line's unit.

    Raises:
        ValueError: the other line's formula cannot be worked out.

    >>> texts = {"member": "", "title": "Wall", "method": "", "source": ""}
    >>> carried(Quantity(key="wall", unit="m²", formula="2 * 3", inputs={}, **texts))
    Input(value=6.0, unit='m²', source='line wall')
    """
    return Input(value=quantity.net, unit=quantity.unit, source=f"line {quantity.key}")


def work_out(formula: str, *, inputs: Mapping[str, Input]) -> float:
    """Works out a formula from its inputs.

    Source: derived: `evaluate`.

    Args:
        formula: the formula, in names of `inputs` and plain numbers.
        inputs: the numbers by name.

    Returns:
        The result, in the unit that the formula is written for.

    Raises:
        ValueError: as `evaluate`.

    >>> work_out("a * 2", inputs={"a": Input(21, "no.", "schedule")})
    42.0
    """
    return evaluate(formula, values={name: item.value for name, item in inputs.items()})


def evaluate(formula: str, *, values: Mapping[str, float]) -> float:
    """Works out a formula from the values of its inputs.

    Source: derived: ordinary arithmetic, + - * / ** ( ) with min, max, ceil and floor.

    Args:
        formula: the formula, in names of `values` and plain numbers.
        values: the inputs by name, in the units that their line states.

    Returns:
        The result, in the unit that the line states.

    Raises:
        ValueError: another sign or function, a name without a value, a division by zero, or an overflow.

    >>> evaluate("area * thickness", values={"area": 80.0, "thickness": 0.125})
    10.0
    """
    try:
        return float(_program(formula)(values))
    except KeyError as error:
        message = f"the formula's input {error.args[0]!r} has no value"
        raise ValueError(message) from error
    except (ZeroDivisionError, OverflowError) as error:
        message = f"the formula {formula!r} cannot be worked out with {dict(values)}: {error}"
        raise ValueError(message) from error


def names(formula: str) -> frozenset[str]:
    """The inputs that a formula uses.

    Source: derived: every name in it that is not one of its four functions.

    Args:
        formula: the formula.

    Returns:
        The names.

    Raises:
        ValueError: it cannot be read.

    >>> sorted(names("max(a, b) * 2"))
    ['a', 'b']
    """
    nodes = ast.walk(_parsed(formula))
    return frozenset(node.id for node in nodes if isinstance(node, ast.Name)) - frozenset(_FUNCTIONS)


@lru_cache(maxsize=1024)
def _parsed(formula: str) -> ast.expr:
    if len(formula) > _MAX_CHARACTERS:
        message = f"a formula of {len(formula)} characters is longer than {_MAX_CHARACTERS}"
        raise ValueError(message)
    try:
        return ast.parse(formula, mode="eval").body
    except (SyntaxError, RecursionError, MemoryError) as error:
        message = f"the formula {formula!r} cannot be read: {error}"
        raise ValueError(message) from error


@lru_cache(maxsize=1024)
def _program(formula: str) -> _Work:
    """The formula as nested functions: a schedule works the same few formulas out for every mark."""
    return _work(_parsed(formula))


def _work(node: ast.expr) -> _Work:
    match node:
        case ast.Constant(value=int() | float() as number) if not isinstance(number, bool):
            constant = float(number)
            return lambda _values: constant
        case ast.Name(id=name):
            return operator.itemgetter(name)
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            inner = _work(operand)
            return lambda values: -inner(values)
        case ast.BinOp(left=left, op=sign, right=right) if type(sign) in _OPERATORS:
            act, first, second = _OPERATORS[type(sign)], _work(left), _work(right)
            return lambda values: act(first(values), second(values))
        case ast.Call(func=ast.Name(id=name), args=arguments, keywords=[]) if (
            name in _FUNCTIONS and arguments
        ):
            function, works = _FUNCTIONS[name], [_work(argument) for argument in arguments]
            return lambda values: float(function(*[work(values) for work in works]))
    message = f"a formula cannot hold {ast.unparse(node)!r}"
    raise ValueError(message)
