"""The steps of a proportioning: each a formula with named inputs, its table or clause, and its result."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from estimates.calc.derivation import Input, Quantity, cited
from estimates.standards.load import Profile, StandardsError, Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """Something that the engineer must look at: a code for its words, and the figures in it."""

    code: str
    params: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Proportions:
    """A worked-out mix: every step in order, the masses for one unit of volume, and remarks.

    A first guess for trial mixes, on which the engineer decides; never a design by itself.
    """

    method: str
    volume_unit: str
    mass_unit: str
    steps: tuple[Quantity, ...]
    masses: Mapping[str, float]
    remarks: tuple[Remark, ...]

    def step(self, key: str) -> Quantity:
        """The step under a key. Raises: KeyError: there is no such step."""
        return {step.key: step for step in self.steps}[key]


@dataclass(slots=True)
class Working:
    """Collects the steps of one proportioning."""

    steps: list[Quantity] = field(default_factory=list)
    remarks: list[Remark] = field(default_factory=list)

    def take(
        self, key: str, *, title: str, unit: str, formula: str, inputs: dict[str, Input], source: str
    ) -> Input:
        """Work a step out, keep it, and return its result as an input of the next."""
        step = Quantity(
            key=key,
            member="",
            title=title,
            unit=unit,
            formula=formula,
            inputs=inputs,
            method="",
            source=source,
        )
        self.steps.append(step)
        return Input(step.net, unit, f"step {key}")

    def read(self, key: str, *, title: str, value: Value) -> Input:
        """Keep a figure read off a table, with its citation."""
        inputs = {"table": cited(value)}
        return self.take(
            key, title=title, unit=value.unit, formula="table", inputs=inputs, source=value.citation
        )

    def state(self, key: str, *, title: str, unit: str, value: float) -> Input:
        """Keep a figure that the engineer states in place of the table's."""
        inputs = {"stated": Input(value, unit, "stated")}
        return self.take(key, title=title, unit=unit, formula="stated", inputs=inputs, source="as stated")


def from_table(group: str, *, at: float, profile: Profile) -> Value:
    """The row of a table by ranges that holds for a figure: the highest lower end that it reaches.

    Source: derived: keys `from_<lower end>` of the standards data.

    Args:
        group: the table's key in the standards data.
        at: the figure, in the unit of the table's heading.
        profile: the standards profile.

    Returns:
        The value of the row.

    Raises:
        StandardsError: the figure lies below the table.

    >>> from estimates.standards import load
    >>> from_table("is_10262.2019.deviation", at=25, profile=load.profile("is")).value
    4.0
    """
    rows = {float(key.removeprefix("from_")): value for key, value in profile.group(group).items()}
    reached = [low for low in rows if low <= at]
    if not reached:
        least = min(rows, default=0.0)
        message = f"{at:g} lies below the table {group}, which begins at {least:g}"
        raise StandardsError(message)
    return rows[max(reached)]


def between(working: Working, key: str, *, title: str, group: str, at: Input, profile: Profile) -> Input:
    """A step that interpolates a table in a straight line between the two rows beside a figure.

    Source: derived: straight line between neighbouring rows of the standards data, as the examples to
    ACI 211.1 do.

    Args:
        working: collects the step.
        key: key of the step.
        title: its words.
        group: the table's key in the standards data; the rows' keys are numbers, "_" for the point.
        at: the figure.
        profile: the standards profile.

    Returns:
        The interpolated value.

    Raises:
        ValueError: the figure lies outside the table; the message names its ends.
    """
    rows = sorted((float(name.replace("_", ".")), value) for name, value in profile.group(group).items())
    if not rows or not rows[0][0] <= at.value <= rows[-1][0]:
        ends = f"{rows[0][0]:g} to {rows[-1][0]:g}" if rows else "no rows"
        message = f"{at.value:g} {at.unit} lies outside the table, which has {ends} {at.unit}"
        raise ValueError(message)
    above = next(number for number, (place, _value) in enumerate(rows) if place >= at.value)
    high_at, high = rows[above]
    if high_at == at.value:
        return working.read(key, title=title, value=high)
    low_at, low = rows[above - 1]
    inputs = {
        "low": cited(low),
        "high": cited(high),
        "at": at,
        "low_at": Input(low_at, at.unit, low.citation),
        "high_at": Input(high_at, at.unit, high.citation),
    }
    formula = "low + (high - low) * (at - low_at) / (high_at - low_at)"
    return working.take(key, title=title, unit=low.unit, formula=formula, inputs=inputs, source=low.citation)
