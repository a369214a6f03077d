"""Machines on hire and people, from stated days or from output norms."""

from collections.abc import Iterator
from typing import Final

from estimates.calc.derivation import Input, Quantity, cited
from estimates.calc.sheet.works import Crew, Plant
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile, StandardsError

_PLANT: Final = "design sheet: plant"
_TRADES: Final = {
    "mason": gettext_noop("Masons"),
    "labourer": gettext_noop("Labourers"),
    "water_carrier": gettext_noop("Water carriers"),
}


def norms(profile: Profile) -> tuple[str, ...]:
    """The named output norms.

    Source: `norm.<name>` of the standards data.

    Args:
        profile: the standards profile.

    Returns:
        Their ids, in alphabetical order.

    >>> from estimates.standards import load
    >>> norms(load.profile("is"))
    ('analysis_of_rates', 'rate_analysis_notes_1153', 'rate_analysis_notes_148')
    """
    return tuple(sorted({key.split(".", maxsplit=1)[0] for key in profile.group("norm")}))


def machines(plant: Plant, *, concrete: Input, on_site: bool, profile: Profile) -> Iterator[Quantity]:
    """Hire of mixers and vibrators, the spare with them.

    Source: machines × stated days, else concrete × the norm's machine-days for a cubic metre
    (`norm.<name>` of the standards data). The spare is on hire as long as a working one.

    Args:
        plant: the sheet's plant.
        concrete: net concrete [m³].
        on_site: whether the concrete is mixed on site; no mixer is hired otherwise.
        profile: the standards profile.

    Yields:
        `plant.mixer` and `plant.vibrator` [day of one machine].

    Raises:
        StandardsError: the profile has no such norm; the message names those that it has.

    >>> from estimates.standards import load
    >>> hired = machines(Plant(mixer_days=2.0, vibrator_days=1.0), concrete=Input(20, "m³", "by hand"),
    ...     on_site=True, profile=load.profile("is"))
    >>> [(item.key, item.net) for item in hired]
    [('plant.mixer', 2.0), ('plant.vibrator', 2.0)]
    """
    if on_site:
        yield _mixer(plant, concrete=concrete, profile=profile)
    yield _vibrator(plant, concrete=concrete, profile=profile)


def people(crew: Crew, *, concrete: Input, profile: Profile) -> Iterator[Quantity]:
    """Days of masons, labourers and water carriers.

    Source: the sheet's days, else concrete × the norm's days for a cubic metre (`norm.<name>` of the
    standards data). A trade for which the norm has nothing is left out.

    Args:
        crew: the sheet's crew.
        concrete: net concrete [m³].
        profile: the standards profile.

    Yields:
        `crew.mason`, `crew.labourer`, `crew.water_carrier` [day of one person].

    Raises:
        StandardsError: the profile has no such norm; the message names those that it has.

    >>> from estimates.standards import load
    >>> crew, ten = Crew(norm="analysis_of_rates"), Input(10, "m³", "by hand")
    >>> [(item.key, round(item.net, 2)) for item in people(crew, concrete=ten, profile=load.profile("is"))]
    [('crew.mason', 1.7), ('crew.labourer', 20.0), ('crew.water_carrier', 9.0)]
    """
    name = _norm(crew.norm, profile=profile)
    for trade, title in _TRADES.items():
        stated = getattr(crew, f"{trade}_days")
        if stated is not None:
            formula, inputs = "days", {"days": Input(stated, "day", "design sheet: crew")}
        elif f"norm.{name}.{trade}" in profile.values:
            formula = "concrete * norm"
            inputs = {"concrete": concrete, "norm": cited(profile.value(f"norm.{name}.{trade}"))}
        else:
            continue
        key, material = f"crew.{trade}", f"crew-{trade.replace('_', '-')}"
        yield _days(key, title=title, formula=formula, inputs=inputs, material=material)


def _mixer(plant: Plant, *, concrete: Input, profile: Profile) -> Quantity:
    if plant.mixer_days is not None:
        formula = "mixers * days"
        inputs = {
            "mixers": Input(float(plant.mixers), "no.", _PLANT),
            "days": Input(plant.mixer_days, "day", _PLANT),
        }
    else:
        name = _norm(plant.norm, profile=profile)
        formula = "concrete * norm"
        inputs = {"concrete": concrete, "norm": cited(profile.value(f"norm.{name}.mixer"))}
    title = gettext_noop("Hire of concrete mixers")
    return _days("plant.mixer", title=title, formula=formula, inputs=inputs, material="hire-mixer")


def _vibrator(plant: Plant, *, concrete: Input, profile: Profile) -> Quantity:
    inputs = {
        "vibrators": Input(float(plant.vibrators), "no.", _PLANT),
        "spare": Input(float(plant.spare_vibrators), "no.", _PLANT),
    }
    if plant.vibrator_days is not None:
        formula = "(vibrators + spare) * days"
        inputs["days"] = Input(plant.vibrator_days, "day", _PLANT)
    else:
        name = _norm(plant.norm, profile=profile)
        formula = "concrete * norm * (vibrators + spare) / vibrators"
        inputs |= {"concrete": concrete, "norm": cited(profile.value(f"norm.{name}.vibrator"))}
    title = gettext_noop("Hire of vibrators, with the spare")
    return _days("plant.vibrator", title=title, formula=formula, inputs=inputs, material="hire-vibrator")


def _norm(stated: str | None, *, profile: Profile) -> str:
    name = stated or profile.choice("norm_default").value
    if name not in norms(profile):
        known = ", ".join(norms(profile)) or "none"
        message = f"output norm {name!r} is not known to profile {profile.id}; it has {known}"
        raise StandardsError(message)
    return name


def _days(key: str, *, title: str, formula: str, inputs: dict[str, Input], material: str) -> Quantity:
    source = inputs["norm"].source if "norm" in inputs else next(iter(inputs.values())).source
    return Quantity(
        key=key,
        member="",
        title=title,
        unit="day",
        formula=formula,
        inputs=inputs,
        method="by output norm" if "norm" in inputs else "as stated",
        source=source,
        material=material,
        kind=material.split("-", maxsplit=1)[0],
    )
