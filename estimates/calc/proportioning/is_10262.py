"""Mix proportioning by IS 10262, editions 2009 and 2019: a first guess for trial mixes, step by step."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal

from estimates.calc.batch import moisture
from estimates.calc.batch.moisture import State
from estimates.calc.derivation import Input, cited
from estimates.calc.proportioning import steps
from estimates.calc.proportioning.steps import Proportions, Remark, Working
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile

_STATED: Final = "stated"
_LITRES: Final = Input(1000.0, "kg/m³", "density of water")


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is asked of the mix and known of its materials; figures left None are the tables'."""

    edition: Literal["2009", "2019"]
    strength_mpa: float
    exposure: str
    water_cement: float
    stone_mm: Literal[10, 20, 40]
    shape: Literal["angular", "sub_angular", "gravel", "rounded"]
    zone: Literal[1, 2, 3, 4]
    slump_mm: float
    cement_sg: float
    sand_sg: float
    stone_sg: float
    deviation_mpa: float | None = None
    water_reduction_percent: float = 0.0
    admixture_percent: float = 0.0
    admixture_sg: float = 1.145
    pump_reduction_percent: float = 0.0
    ash_percent: float = 0.0
    ash_sg: float = 2.2
    binder_increase_percent: float = 0.0
    water_kg_m3: float | None = None
    air_percent: float | None = None
    stone_share: float | None = None
    rounding: Literal["none", "printed"] = "none"
    moisture_basis: moisture.Basis = "ssd_total"
    sand: State = field(default_factory=State)
    stone: State = field(default_factory=State)


def work_out(asked: Asked, *, profile: Profile) -> Proportions:
    """Proportions a mix by IS 10262, every step with its formula and table.

    Source: IS 10262:2009 or :2019, `is_10262.<edition>` of the standards data, and IS 456 table 5 for the
    limits of the exposure. Rounding "printed" rounds as the standard's worked examples do: water and binder
    to whole kilograms, the stone's share to 0.01 (2009) or 0.001 (2019), volumes to a litre.

    Args:
        asked: what is asked and known.
        profile: the standards profile, with the tables of the edition.

    Returns:
        The steps, and `cement`, `ash`, `water`, `sand`, `stone`, `admixture` [kg/m³] with `sand.batch`,
        `stone.batch` and `water.batch` for the heaps as they lie.

    Raises:
        ValueError: the figures leave no room for aggregate, or a strength lies below the tables.

    The first example of the 2009 edition, M40 with a superplasticiser, pumped:

    >>> from estimates.standards import load
    >>> m40 = Asked(edition="2009", strength_mpa=40, exposure="severe", water_cement=0.40, stone_mm=20,
    ...     shape="angular", zone=1, slump_mm=100, cement_sg=3.15, sand_sg=2.74, stone_sg=2.74,
    ...     water_reduction_percent=29, admixture_percent=2, pump_reduction_percent=10, rounding="printed")
    >>> found = work_out(m40, profile=load.profile("is"))
    >>> [round(found.masses[name]) for name in ("cement", "water", "stone", "sand")]
    [350, 140, 1140, 896]
    """
    working = Working()
    _target(working, asked=asked, profile=profile)
    ratio = _ratio(working, asked=asked, profile=profile)
    water = _water(working, asked=asked, profile=profile)
    binder = _binder(working, asked=asked, water=water, ratio=ratio, profile=profile)
    parts = _cement_and_ash(working, asked=asked, binder=binder)
    share = _share(working, asked=asked, water=water, binder=binder, profile=profile)
    masses = _aggregates(working, asked=asked, water=water, parts=parts, share=share, profile=profile)
    masses |= {"water": water.value, **{name: part.value for name, part in parts.items()}}
    masses |= _as_it_lies(working, asked=asked, masses=masses)
    return Proportions(
        method=f"is_10262_{asked.edition}",
        volume_unit="m³",
        mass_unit="kg",
        steps=tuple(working.steps),
        masses=masses,
        remarks=tuple(working.remarks),
    )


def _target(working: Working, *, asked: Asked, profile: Profile) -> Input:
    edition = f"is_10262.{asked.edition}"
    title = gettext_noop("Standard deviation")
    if asked.deviation_mpa is not None:
        deviation = working.state("deviation", title=title, unit="MPa", value=asked.deviation_mpa)
    else:
        row = steps.from_table(f"{edition}.deviation", at=asked.strength_mpa, profile=profile)
        deviation = working.read("deviation", title=title, value=row)
    factor = profile.value(f"{edition}.tolerance_factor")
    inputs = {
        "strength": Input(asked.strength_mpa, "MPa", _STATED),
        "factor": cited(factor),
        "deviation": deviation,
    }
    formula = "strength + factor * deviation"
    if profile.group(f"{edition}.margin"):
        row = steps.from_table(f"{edition}.margin", at=asked.strength_mpa, profile=profile)
        inputs["margin"] = cited(row)
        formula = "max(strength + factor * deviation, strength + margin)"
    title = gettext_noop("Target mean strength")
    return working.take(
        "target", title=title, unit="MPa", formula=formula, inputs=inputs, source=factor.citation
    )


def _ratio(working: Working, *, asked: Asked, profile: Profile) -> Input:
    """The lesser of the ratio for strength, which the engineer reads off a curve, and the exposure's most."""
    most = profile.value(f"exposure.{asked.exposure}.water_cement_max")
    inputs = {"for_strength": Input(asked.water_cement, "1", _STATED), "for_exposure": cited(most)}
    if asked.water_cement > most.value:
        params = {"stated": f"{asked.water_cement:g}", "most": f"{most.value:g}"}
        working.remarks.append(Remark(code="ratio_lowered", params=params))
    return working.take(
        "ratio",
        title=gettext_noop("Water to binder, by mass"),
        unit="1",
        formula="min(for_strength, for_exposure)",
        inputs=inputs,
        source=most.citation,
    )


def _water(working: Working, *, asked: Asked, profile: Profile) -> Input:
    edition = f"is_10262.{asked.edition}"
    title = gettext_noop("Water for a slump of 50 mm with angular stone")
    if asked.water_kg_m3 is not None:
        table = working.state("water.table", title=title, unit="kg/m³", value=asked.water_kg_m3)
        slump = 50.0
    else:
        row = profile.value(f"{edition}.water.{asked.stone_mm}")
        table, slump = working.read("water.table", title=title, value=row), asked.slump_mm
    step, shape = profile.value(f"{edition}.slump_step"), profile.value(f"{edition}.shape.{asked.shape}")
    inputs = {
        "table": table,
        "shape": cited(shape) if asked.water_kg_m3 is None else Input(0.0, "kg/m³", _STATED),
        "step": cited(step),
        "slump": Input(slump, "mm", _STATED),
    }
    formula = "(table + shape) * (1 + step / 100 * (slump - 50) / 25)"
    title = gettext_noop("Water for this slump and shape")
    wet = working.take(
        "water.slump", title=title, unit="kg/m³", formula=formula, inputs=inputs, source=step.citation
    )
    inputs = {"wet": wet, "reduction": Input(asked.water_reduction_percent, "%", _STATED)}
    formula = "wet * (1 - reduction / 100)"
    return working.take(
        "water",
        title=gettext_noop("Water with the admixture's reduction"),
        unit="kg/m³",
        formula=f"floor({formula} + 0.5)" if asked.rounding == "printed" else formula,
        inputs=inputs,
        source="derived: less the reduction that trials have shown",
    )


def _binder(working: Working, *, asked: Asked, water: Input, ratio: Input, profile: Profile) -> Input:
    least = profile.value(f"exposure.{asked.exposure}.cement_min")
    most = profile.value("concrete.cement_max")
    formula = "water / ratio * (1 + increase / 100)"
    # The examples round up to a whole kilogram, a hair above one counting as that one.
    rounded = f"floor({formula} + 0.999)" if asked.rounding == "printed" else formula
    binder = working.take(
        "binder",
        title=gettext_noop("Cement, with fly ash where there is any"),
        unit="kg/m³",
        formula=f"max({rounded}, least)",
        inputs={
            "water": water,
            "ratio": ratio,
            "increase": Input(asked.binder_increase_percent, "%", _STATED),
            "least": cited(least),
        },
        source=least.citation,
    )
    if binder.value > most.value:
        params = {"value": f"{binder.value:.0f}", "most": f"{most.value:g}", "source": most.citation}
        working.remarks.append(Remark(code="binder_above_most", params=params))
    return binder


def _cement_and_ash(working: Working, *, asked: Asked, binder: Input) -> dict[str, Input]:
    inputs = {"binder": binder, "ash": Input(asked.ash_percent, "%", _STATED)}
    found = {}
    if asked.ash_percent:
        found["ash"] = working.take(
            "ash",
            title=gettext_noop("Fly ash"),
            unit="kg/m³",
            formula="binder * ash / 100",
            inputs=inputs,
            source="derived: share of the binder",
        )
    found["cement"] = working.take(
        "cement",
        title=gettext_noop("Cement"),
        unit="kg/m³",
        formula="binder * (1 - ash / 100)",
        inputs=inputs,
        source="derived: the rest of the binder",
    )
    if asked.admixture_percent:
        found["admixture"] = working.take(
            "admixture",
            title=gettext_noop("Admixture"),
            unit="kg/m³",
            formula="binder * dose / 100",
            inputs={"binder": binder, "dose": Input(asked.admixture_percent, "%", _STATED)},
            source="derived: dose by mass of binder",
        )
    return found


def _share(working: Working, *, asked: Asked, water: Input, binder: Input, profile: Profile) -> Input:
    """The stone's part of the aggregate's volume, moved with the water/cement ratio and the pump."""
    title = gettext_noop("Stone's share of the aggregate, by volume")
    if asked.stone_share is not None:
        return working.state("share", title=title, unit="1", value=asked.stone_share)
    edition = f"is_10262.{asked.edition}"
    row = profile.value(f"{edition}.stone_share.{asked.stone_mm}.zone_{asked.zone}")
    step = profile.value(f"{edition}.share_step")
    inputs = {
        "table": working.read("share.table", title=gettext_noop("The share at water/cement 0.50"), value=row),
        "step": cited(step),
        "water": water,
        "binder": binder,
        "pump": Input(asked.pump_reduction_percent, "%", _STATED),
    }
    formula = "(table + step * (0.5 - water / binder) / 0.05) * (1 - pump / 100)"
    if asked.rounding == "printed":
        places = 100 if asked.edition == "2009" else 1000
        formula = f"floor({formula} * {places} + 0.5) / {places}"
    return working.take("share", title=title, unit="1", formula=formula, inputs=inputs, source=step.citation)


def _aggregates(
    working: Working,
    *,
    asked: Asked,
    water: Input,
    parts: Mapping[str, Input],
    share: Input,
    profile: Profile,
) -> dict[str, float]:
    solids = {"cement": asked.cement_sg, "ash": asked.ash_sg, "admixture": asked.admixture_sg}
    inputs = {"water": water, "air": _air(working, asked=asked, profile=profile), "litre": _LITRES}
    taken = ["water / litre"]
    for name, mass in parts.items():
        inputs |= {name: mass, f"{name}_sg": Input(solids[name], "1", _STATED)}
        taken.append(f"{name} / {name}_sg / litre")
    formula = f"1 - air / 100 - ({' + '.join(taken)})"
    volume = working.take(
        "aggregate.volume",
        title=gettext_noop("Volume left for sand and stone"),
        unit="m³/m³",
        formula=f"floor(({formula}) * 1000 + 0.5) / 1000" if asked.rounding == "printed" else formula,
        inputs=inputs,
        source="derived: absolute volumes in one cubic metre",
    )
    if volume.value <= 0:
        message = f"water, binder and air leave {volume.value:.3f} m³ for sand and stone; lower the binder"
        raise ValueError(message)
    found = {}
    for name, title, part, sg in (
        ("stone", gettext_noop("Stone, saturated and surface-dry"), "share", asked.stone_sg),
        ("sand", gettext_noop("Sand, saturated and surface-dry"), "(1 - share)", asked.sand_sg),
    ):
        found[name] = working.take(
            name,
            title=title,
            unit="kg/m³",
            formula=f"volume * {part} * sg * litre",
            inputs={"volume": volume, "share": share, "sg": Input(sg, "1", _STATED), "litre": _LITRES},
            source="derived: volume × relative density",
        ).value
    return found


def _air(working: Working, *, asked: Asked, profile: Profile) -> Input:
    title, key = gettext_noop("Air"), f"is_10262.{asked.edition}.air.{asked.stone_mm}"
    if asked.air_percent is not None:
        return working.state("air", title=title, unit="%", value=asked.air_percent)
    if key in profile.values:
        return working.read("air", title=title, value=profile.value(key))
    return Input(0.0, "%", f"the edition of {asked.edition} counts no air")


def _as_it_lies(working: Working, *, asked: Asked, masses: Mapping[str, float]) -> dict[str, float]:
    """The heaps as they lie, when their moisture is stated, and the water that is left to add."""
    found, inputs = {}, {"water": Input(masses["water"], "kg/m³", "step water")}
    for name, state in (("sand", asked.sand), ("stone", asked.stone)):
        if state.moisture_percent is None:
            continue
        mass = Input(masses[name], "kg/m³", f"step {name}")
        weighed, carried = moisture.by_mass(name, mass=mass, state=state, basis=asked.moisture_basis)
        working.steps += [weighed, carried]
        found[f"{name}.batch"] = weighed.net
        inputs[f"carried_by_{name}"] = Input(carried.net, "kg/m³", f"step {carried.key}")
    if found:
        formula = " - ".join(inputs)
        title = gettext_noop("Water to add")
        added = working.take(
            "water.batch", title=title, unit="kg/m³", formula=formula, inputs=inputs, source="derived"
        )
        found["water.batch"] = added.value
    return found
