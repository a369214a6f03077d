"""The batch card of a site mixer: whole bags, boxes or masses, litres of water, and how many batches."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, Literal

from estimates.calc.batch import boxes, moisture
from estimates.calc.batch.boxes import Box
from estimates.calc.batch.moisture import State
from estimates.calc.derivation import Input, Quantity, carried, cited
from estimates.calc.mix import constituents
from estimates.calc.sheet.mix import AnyMix
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile

_TYPED: Final = "typed on the card"


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the card is for: the pour, the bag, the drum, the way of batching, and how the heaps lie."""

    concrete_m3: float
    batching: Literal["volume", "mass"]
    bag_kg: float = 50.0
    mixer_l: float | None = None
    mixer: str | None = None
    batches_per_hour: float | None = None
    sand: State = field(default_factory=State)
    stone: State = field(default_factory=State)
    basis: moisture.Basis = "ssd_free"


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """A batch card: every figure with its derivation, and the boxes."""

    bags: int
    batches: int
    steps: tuple[Quantity, ...]
    aggregates: tuple[Quantity, ...]
    water: Quantity
    boxes: tuple[Box, ...]

    def step(self, key: str) -> Quantity:
        """The step under a key. Raises: KeyError: there is no such step."""
        return {step.key: step for step in self.steps}[key]


def mixers(profile: Profile) -> dict[str, Input]:
    """The named mixers with the concrete that one batch of theirs makes.

    Source: `mixer.<name>` of the standards data.

    Args:
        profile: the standards profile.

    Returns:
        Capacity by name [L of mixed concrete].

    >>> from estimates.standards import load
    >>> mixers(load.profile("is"))["140t"].value
    140.0
    """
    return {name: cited(value) for name, value in sorted(profile.group("mixer").items())}


def make(mix: AnyMix, *, asked: Asked, profile: Profile) -> Card:
    """Makes the batch card of a pour.

    Source: derived: the mix for one cubic metre, brought to whole bags that the drum holds. Volume batching
    takes the bulking of the sand, weighing the moisture of sand and stone; in both the water that the heaps
    carry is taken off the water to add.

    Args:
        mix: the mix of the drawing.
        asked: the pour, the drum and the heaps.
        profile: the standards profile.

    Returns:
        The card.

    Raises:
        ValueError: the drum holds less than one bag makes, a mixer that the profile lacks, or a heap whose
            bulking is stated for weighing.

    Six cubic metres of 1:1.5:3 in a one-bag drum:

    >>> from estimates.calc.sheet.mix import MixParts, NominalVolumeMix
    >>> from estimates.standards import load
    >>> m20 = NominalVolumeMix(kind="nominal_volume", parts=MixParts(1, 1.5, 3), water_cement=0.52,
    ...     stone_split={"20": 60, "10": 40})
    >>> card = make(m20, asked=Asked(concrete_m3=6, batching="volume"), profile=load.profile("is"))
    >>> card.bags, card.batches, round(card.water.net)
    (1, 48, 26)
    """
    one = Input(1.0, "m³", "one cubic metre")
    lines = {item.key: item for item in constituents.quantities(mix, concrete=one, profile=profile)}
    per_bag = _bag_yield(lines["cement"], asked=asked)
    bags = _bags(per_bag, asked=asked, profile=profile)
    batch = _batch(per_bag, bags=bags)
    steps = [per_bag, bags, batch, *_how_many(batch, bags=bags, asked=asked, profile=profile)]
    aggregates, water_carried = _aggregates(lines, batch=batch, asked=asked)
    water = _water(lines["water"], batch=batch, carried_by=water_carried)
    admixtures = _admixtures(lines.values(), batch=batch)
    found = () if asked.batching == "mass" else _boxes(aggregates, bags=int(bags.net), profile=profile)
    return Card(
        bags=int(bags.net),
        batches=int(steps[3].net),
        steps=(*steps, *water_carried, *admixtures),
        aggregates=tuple(aggregates),
        water=water,
        boxes=found,
    )


def _bag_yield(cement: Quantity, *, asked: Asked) -> Quantity:
    return _step(
        "bag.yield",
        title=gettext_noop("Concrete that one bag makes"),
        unit="L",
        formula="bag / cement * 1000",
        inputs={
            "bag": Input(asked.bag_kg, "kg", _TYPED),
            "cement": Input(cement.net, "kg/m³", f"mix: {cement.method}"),
        },
    )


def _bags(per_bag: Quantity, *, asked: Asked, profile: Profile) -> Quantity:
    drum, over = _drum(asked, profile=profile), cited(profile.value("mixer_over"))
    if drum.value * (1 + over.value / 100) < per_bag.net:
        message = (
            f"the mixer makes {drum.value:g} L and one bag makes {per_bag.net:.0f} L; "
            "choose a larger mixer or a smaller bag, because a part of a bag is not measured"
        )
        raise ValueError(message)
    return _step(
        "bags",
        title=gettext_noop("Whole bags in one batch"),
        unit="no.",
        formula="floor(mixer * (1 + over / 100) / per_bag)",
        inputs={"mixer": drum, "over": over, "per_bag": carried(per_bag)},
    )


def _drum(asked: Asked, *, profile: Profile) -> Input:
    if asked.mixer_l is not None:
        return Input(asked.mixer_l, "L", _TYPED)
    known = mixers(profile)
    name = asked.mixer or profile.choice("mixer_default").value
    if name not in known:
        message = f"mixer {name!r} is not in the table, which has {', '.join(known)}; type its litres instead"
        raise ValueError(message)
    return known[name]


def _batch(per_bag: Quantity, *, bags: Quantity) -> Quantity:
    return _step(
        "batch.yield",
        title=gettext_noop("Concrete that one batch makes"),
        unit="m³",
        formula="bags * per_bag / 1000",
        inputs={"bags": carried(bags), "per_bag": carried(per_bag)},
    )


def _how_many(batch: Quantity, *, bags: Quantity, asked: Asked, profile: Profile) -> list[Quantity]:
    concrete = Input(asked.concrete_m3, "m³", "the pour")
    batches = _step(
        "batches",
        title=gettext_noop("Batches for the pour"),
        unit="no.",
        formula="ceil(concrete / batch - 0.000001)",
        inputs={"concrete": concrete, "batch": carried(batch)},
    )
    total = _step(
        "bags.total",
        title=gettext_noop("Bags for the pour"),
        unit="no.",
        formula="batches * bags",
        inputs={"batches": carried(batches), "bags": carried(bags)},
    )
    over = _step(
        "concrete.over",
        title=gettext_noop("Concrete that the last batch makes over the pour"),
        unit="m³",
        formula="batches * batch - concrete",
        inputs={"batches": carried(batches), "batch": carried(batch), "concrete": concrete},
    )
    rate = cited(profile.value("batch_rate.slow"))
    if asked.batches_per_hour is not None:
        rate = Input(asked.batches_per_hour, "1/h", _TYPED)
    hours = _step(
        "hours",
        title=gettext_noop("Hours of mixing with one mixer, without a stop"),
        unit="h",
        formula="batches / rate",
        inputs={"batches": carried(batches), "rate": rate},
    )
    return [batches, total, over, hours]


def _aggregates(
    lines: Mapping[str, Quantity], *, batch: Quantity, asked: Asked
) -> tuple[list[Quantity], list[Quantity]]:
    """What goes into one batch of each heap, and the water that comes with it."""
    gauged, with_it = [], []
    for key in (name for name in lines if name == "sand" or _is_stone(name)):
        name, state = key.replace(".", "-"), asked.sand if key == "sand" else asked.stone
        mass = _per_batch(lines[f"{key}.mass"], batch=batch)
        if asked.batching == "mass":
            weighed, water = moisture.by_mass(name, mass=mass, state=state, basis=asked.basis)
            gauged.append(weighed)
        else:
            dry = State(bulking_percent=state.bulking_percent)
            volume = _per_batch(lines[key], batch=batch, times=1000, unit="L")
            gauged.append(moisture.by_volume(name, volume=volume, state=dry))
            damp = State(moisture_percent=state.moisture_percent, absorption_percent=state.absorption_percent)
            water = moisture.by_mass(name, mass=mass, state=damp, basis=asked.basis)[1]
        if state.moisture_percent is not None:
            with_it.append(water)
    return gauged, with_it


def _is_stone(key: str) -> bool:
    return key.startswith("stone.") and not key.endswith(".mass")


def _per_batch(line: Quantity, *, batch: Quantity, times: float = 1.0, unit: str = "kg") -> Input:
    source = f"mix: {line.net:.5g} {line.unit} for 1 m³, × {batch.net:.5g} m³"
    return Input(line.net * batch.net * times, unit, source)


def _water(line: Quantity, *, batch: Quantity, carried_by: Sequence[Quantity]) -> Quantity:
    inputs = {"water": Input(line.net * batch.net, "L", f"mix: {line.net:.5g} L for 1 m³")}
    for item in carried_by:
        inputs[item.key.replace(".", "_").replace("-", "_")] = Input(item.net, "kg", f"step {item.key}")
    return _step(
        "water",
        title=gettext_noop("Water to add"),
        unit="L",
        formula=" - ".join(inputs),
        inputs=inputs,
    )


def _admixtures(lines: Iterable[Quantity], *, batch: Quantity) -> list[Quantity]:
    found = []
    for line in lines:
        if line.key.startswith("admixture."):
            inputs = {"one_m3": Input(line.net, "L", f"mix: {line.method}"), "batch": carried(batch)}
            formula = "one_m3 * batch * 1000"
            found.append(_step(line.key, title=line.title, unit="ml", formula=formula, inputs=inputs))
    return found


def _boxes(aggregates: Sequence[Quantity], *, bags: int, profile: Profile) -> tuple[Box, ...]:
    """A box for each heap, by the litres for one bag: boxes are filled bag by bag."""
    return tuple(
        boxes.fitted(item.key.removeprefix("gauge."), litres=item.net / bags, profile=profile)
        for item in aggregates
        if not math.isclose(item.net, 0)
    )


def _step(key: str, *, title: str, unit: str, formula: str, inputs: dict[str, Input]) -> Quantity:
    return Quantity(
        key=key,
        member="",
        title=title,
        unit=unit,
        formula=formula,
        inputs=inputs,
        method="",
        source="derived",
    )
