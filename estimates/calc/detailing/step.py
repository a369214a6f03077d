"""One clause worked out: its formula with named inputs, so that anyone can redo it by hand."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from estimates.calc import derivation
from estimates.calc.derivation import Input
from estimates.standards.values import Value


@dataclass(frozen=True, slots=True)
class Step:
    """A number by one clause; `formula` worked out from `inputs` gives `value`, in `unit`."""

    name: str
    formula: str
    inputs: Mapping[str, Input]
    unit: str
    source: str
    value: float = field(init=False)

    def __post_init__(self) -> None:
        """Works the formula out once."""
        object.__setattr__(self, "value", derivation.work_out(self.formula, inputs=self.inputs))

    @property
    def carried(self) -> Input:
        """The number as an input of the next step."""
        return Input(self.value, self.unit, f"{self.name}: {self.source}")


def given(value: float, *, unit: str, source: str) -> Input:
    """A number of the drawing as an input.

    Source: derived: the drawing.

    Args:
        value: the number, in `unit`.
        unit: its unit.
        source: where it was read.

    Returns:
        The input.

    >>> given(12, unit="mm", source="bar size").value
    12.0
    """
    return Input(float(value), unit, source)


def places(*values: Value) -> str:
    """The citations behind a step, each once.

    Source: derived: the values' own citations.

    Args:
        values: what the step rests on.

    Returns:
        The citations, joined.

    >>> from estimates.standards import load
    >>> places(load.profile("is").value("laps.stress_share"))
    'is-456-2000, cl. 26.2.1 with cl. 38.1: stress of 0.87 fy (memory)'
    """
    return "; ".join(dict.fromkeys(value.citation for value in values))
