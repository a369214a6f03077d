"""Mix proportioning by ACI 211.1, by absolute volume or by estimated mass: a first guess for trial mixes."""

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

StoneSize = Literal["9_5", "12_5", "19", "25", "37_5", "50", "75", "150"]
Slump = Literal["25_50", "75_100", "150_175"]

_STATED: Final = "stated"
_MASS: Final = {"us": "lb", "si": "kg"}
_VOLUME: Final = {"us": "yd³", "si": "m³"}
_STRENGTH: Final = {"us": "psi", "si": "MPa"}
_BULK: Final = {"us": "lb/ft³", "si": "kg/m³"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is asked of the mix and known of its materials, in pounds and psi or in kilograms and MPa."""

    units: Literal["us", "si"]
    method: Literal["absolute_volume", "mass"]
    average_strength: float
    slump_mm: Slump
    stone_mm: StoneSize
    exposure: Literal["none", "mild", "moderate", "severe"]
    fineness_modulus: float
    dry_rodded: float
    cement_sg: float
    sand_sg: float
    stone_sg: float
    water_cement: float | None = None
    water_cement_most: float | None = None
    cement_least: float | None = None
    moisture_basis: moisture.Basis = "dry_total"
    sand: State = field(default_factory=State)
    stone: State = field(default_factory=State)


def work_out(asked: Asked, *, profile: Profile) -> Proportions:
    """Proportions a mix by ACI 211.1, every step with its formula and table.

    Source: ACI 211.1-91, `aci_211` of the standards data: water and air by slump and stone, water/cement by
    strength, dry-rodded stone by fineness modulus, sand as the rest of the volume or of the mass.

    Args:
        asked: what is asked and known; exposure "none" is concrete without entrained air.
        profile: the standards profile, with the method's tables.

    Returns:
        The steps, and `cement`, `water`, `sand`, `stone` in pounds for a cubic yard or kilograms for a cubic
        metre, with `sand.batch`, `stone.batch` and `water.batch` for the heaps as they lie.

    Raises:
        ValueError: a strength or a fineness modulus outside the tables, no row for this slump and stone, or
            no room for sand.

    The US Navy's course, 3,000 psi with moderate exposure:

    >>> from estimates.standards import load
    >>> wall = Asked(units="us", method="absolute_volume", average_strength=3000, slump_mm="75_100",
    ...     stone_mm="19", exposure="moderate", fineness_modulus=2.7, dry_rodded=102, cement_sg=3.15,
    ...     sand_sg=2.65, stone_sg=2.60, water_cement_most=0.5)
    >>> found = work_out(wall, profile=load.profile("aci"))
    >>> [round(found.masses[name]) for name in ("water", "cement", "stone", "sand")]
    [305, 610, 1735, 1152]
    """
    working = Working()
    kind = "plain" if asked.exposure == "none" else "air"
    water = _water(working, asked=asked, kind=kind, profile=profile)
    air = _air(working, asked=asked, profile=profile)
    cement = _cement(working, asked=asked, kind=kind, water=water, profile=profile)
    stone = _stone(working, asked=asked, profile=profile)
    masses = {"water": water, "cement": cement, "stone": stone}
    if asked.method == "mass":
        sand = _sand_by_mass(working, asked=asked, kind=kind, masses=masses, profile=profile)
    else:
        sand = _sand_by_volume(working, asked=asked, air=air, masses=masses, profile=profile)
    _require_room(sand)
    found = {name: mass.value for name, mass in (masses | {"sand": sand}).items()}
    found |= _as_it_lies(working, asked=asked, masses=masses | {"sand": sand})
    return Proportions(
        method=f"aci_211_{asked.method}",
        volume_unit=_VOLUME[asked.units],
        mass_unit=_MASS[asked.units],
        steps=tuple(working.steps),
        masses=found,
        remarks=tuple(working.remarks),
    )


def _require_room(sand: Input) -> None:
    if sand.value <= 0:
        left = f"{sand.value:.0f} {sand.unit}"
        message = f"the other parts leave {left} for sand; lower the strength or the slump"
        raise ValueError(message)


def _per(asked: Asked) -> str:
    return f"{_MASS[asked.units]}/{_VOLUME[asked.units]}"


def _water(working: Working, *, asked: Asked, kind: str, profile: Profile) -> Input:
    key = f"aci_211.{asked.units}.water.{kind}.{asked.slump_mm}.{asked.stone_mm}"
    if key not in profile.values:
        size, slump = asked.stone_mm.replace("_", "."), asked.slump_mm.replace("_", " to ")
        message = f"the table has no water for a slump of {slump} mm with stone of {size} mm; choose another"
        raise ValueError(message)
    return working.read("water", title=gettext_noop("Mixing water"), value=profile.value(key))


def _air(working: Working, *, asked: Asked, profile: Profile) -> Input:
    row = "entrapped" if asked.exposure == "none" else asked.exposure
    value = profile.value(f"aci_211.air.{row}.{asked.stone_mm}")
    return working.read("air", title=gettext_noop("Air"), value=value)


def _cement(working: Working, *, asked: Asked, kind: str, water: Input, profile: Profile) -> Input:
    title = gettext_noop("Water to cement for the strength")
    if asked.water_cement is not None:
        ratio = working.state("ratio.strength", title=title, unit="1", value=asked.water_cement)
    else:
        at = Input(asked.average_strength, _STRENGTH[asked.units], _STATED)
        group = f"aci_211.{asked.units}.ratio.{kind}"
        ratio = steps.between(working, "ratio.strength", title=title, group=group, at=at, profile=profile)
    if asked.water_cement_most is not None:
        most = Input(asked.water_cement_most, "1", "stated: exposure")
        ratio = working.take(
            "ratio",
            title=gettext_noop("Water to cement, the exposure's most kept"),
            unit="1",
            formula="min(strength, most)",
            inputs={"strength": ratio, "most": most},
            source="ACI 318 for the exposure, as stated",
        )
    least = Input(asked.cement_least or 0.0, _per(asked), _STATED)
    cement = working.take(
        "cement",
        title=gettext_noop("Cement"),
        unit=_per(asked),
        formula="max(water / ratio, least)",
        inputs={"water": water, "ratio": ratio, "least": least},
        source="derived: water over the ratio",
    )
    if cement.value == least.value:
        params = {"least": f"{least.value:g}", "unit": least.unit}
        working.remarks.append(Remark(code="cement_at_least", params=params))
    return cement


def _stone(working: Working, *, asked: Asked, profile: Profile) -> Input:
    share = steps.between(
        working,
        "stone.volume",
        title=gettext_noop("Dry-rodded stone in a unit of concrete"),
        group=f"aci_211.stone.{asked.stone_mm}",
        at=Input(asked.fineness_modulus, "1", "stated: fineness modulus"),
        profile=profile,
    )
    unit = profile.value(f"aci_211.{asked.units}.unit_volume")
    inputs = {
        "share": share,
        "unit_volume": cited(unit),
        "dry_rodded": Input(asked.dry_rodded, _BULK[asked.units], _STATED),
    }
    return working.take(
        "stone",
        title=gettext_noop("Stone, dry"),
        unit=_per(asked),
        formula="share * unit_volume * dry_rodded",
        inputs=inputs,
        source=unit.citation,
    )


def _sand_by_volume(
    working: Working, *, asked: Asked, air: Input, masses: Mapping[str, Input], profile: Profile
) -> Input:
    unit = profile.value(f"aci_211.{asked.units}.unit_volume")
    of_water = profile.value(f"aci_211.{asked.units}.water_mass")
    inputs = {
        "unit_volume": cited(unit),
        "air": air,
        "water_mass": cited(of_water),
        **masses,
        "cement_sg": Input(asked.cement_sg, "1", _STATED),
        "stone_sg": Input(asked.stone_sg, "1", _STATED),
    }
    terms = "water / water_mass + cement / cement_sg / water_mass + stone / stone_sg / water_mass"
    volume = working.take(
        "sand.volume",
        title=gettext_noop("Volume left for sand"),
        unit=unit.unit,
        formula=f"unit_volume * (1 - air / 100) - ({terms})",
        inputs=inputs,
        source=of_water.citation,
    )
    return working.take(
        "sand",
        title=gettext_noop("Sand"),
        unit=_per(asked),
        formula="volume * sg * water_mass",
        inputs={
            "volume": volume,
            "sg": Input(asked.sand_sg, "1", _STATED),
            "water_mass": cited(of_water),
        },
        source=of_water.citation,
    )


def _sand_by_mass(
    working: Working, *, asked: Asked, kind: str, masses: Mapping[str, Input], profile: Profile
) -> Input:
    key = f"aci_211.{asked.units}.fresh_mass.{kind}.{asked.stone_mm}"
    if key not in profile.values:
        message = "the tables have no estimated mass for these units and this stone; use the absolute volumes"
        raise ValueError(message)
    fresh = profile.value(key)
    title = gettext_noop("First estimate of the fresh concrete's mass")
    inputs = {"fresh": working.read("fresh_mass", title=title, value=fresh), **masses}
    return working.take(
        "sand",
        title=gettext_noop("Sand"),
        unit=_per(asked),
        formula="fresh - (water + cement + stone)",
        inputs=inputs,
        source=fresh.citation,
    )


def _as_it_lies(working: Working, *, asked: Asked, masses: Mapping[str, Input]) -> dict[str, float]:
    """The heaps as they lie, when their moisture is stated, and the water that is left to add."""
    found, inputs = {}, {"water": masses["water"]}
    for name, state in (("sand", asked.sand), ("stone", asked.stone)):
        if state.moisture_percent is None:
            continue
        weighed, carried = moisture.by_mass(name, mass=masses[name], state=state, basis=asked.moisture_basis)
        working.steps += [weighed, carried]
        found[f"{name}.batch"] = weighed.net
        inputs[f"carried_by_{name}"] = Input(carried.net, carried.unit, f"step {carried.key}")
    if found:
        title = gettext_noop("Water to add")
        added = working.take(
            "water.batch",
            title=title,
            unit=_per(asked),
            formula=" - ".join(inputs),
            inputs=inputs,
            source="derived",
        )
        found["water.batch"] = added.value
    return found
