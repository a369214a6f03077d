"""Moisture and bulking: what the scale must show and the box must hold for sand and stone as they lie."""

from dataclasses import dataclass
from typing import Final, Literal

from estimates.calc.derivation import Input, Quantity
from estimates.calc.wording import gettext_noop

Basis = Literal["ssd_total", "ssd_free", "dry_total"]

BASES: Final[tuple[Basis, ...]] = ("ssd_total", "ssd_free", "dry_total")
"""How a mix states its masses and moisture: saturated surface-dry mass with total moisture and absorption of
the dry mass; the same mass with free moisture of its own; dry mass with total moisture and absorption."""

_BATCHED: Final = {
    "ssd_total": "mass / (1 + absorption / 100) * (1 + moisture / 100)",
    "ssd_free": "mass * (1 + moisture / 100)",
    "dry_total": "mass * (1 + moisture / 100)",
}
_CARRIED: Final = {
    "ssd_total": "mass / (1 + absorption / 100) * (moisture - absorption) / 100",
    "ssd_free": "mass * moisture / 100",
    "dry_total": "mass * (moisture - absorption) / 100",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """How a heap lies: moisture and absorption, or the bulking of loose sand; never both on one quantity."""

    moisture_percent: float | None = None
    absorption_percent: float = 0.0
    bulking_percent: float | None = None


def by_mass(name: str, *, mass: Input, state: State, basis: Basis) -> tuple[Quantity, Quantity]:
    """Mass to weigh out of a moist heap, and the water that it carries into the mixer.

    Source: derived: ACI 211.1 step 8 on dry masses; on saturated surface-dry ones as IS 10262 and the US Army
    course EN5466 state theirs.

    Args:
        name: "sand" or "stone-<size>".
        mass: mass by the mix [kg, or any unit of mass].
        state: moisture and absorption; free moisture below 0 is a heap drier than surface-dry.
        basis: what the mass and the moisture are stated on.

    Returns:
        `batch.<name>` and `carried.<name>`, both in the unit of the mass; water below 0 is drawn in.

    Raises:
        ValueError: a bulking is stated too: it belongs to a volume, and would correct the same sand twice.

    Stone of 1,917 lb dry at 2 % and sand of 1,369 lb at 6 % (ACI 211.1, first example):

    >>> stone = State(moisture_percent=2.0, absorption_percent=0.5)
    >>> found = by_mass("stone-20", mass=Input(1917, "lb", ""), state=stone, basis="dry_total")
    >>> [round(item.net) for item in found]
    [1955, 29]
    """
    _refuse_bulking(name, state=state)
    inputs = {"mass": mass, "moisture": Input(state.moisture_percent or 0.0, "%", "measured on site")}
    if basis != "ssd_free":
        inputs["absorption"] = Input(state.absorption_percent, "%", "measured on site")
    texts = {"unit": mass.unit, "method": basis, "source": "derived: moisture on the stated basis"}
    weighed = Quantity(
        key=f"batch.{name}",
        member=name,
        title=gettext_noop("Mass to weigh out, as it lies"),
        formula=_BATCHED[basis],
        inputs=inputs,
        **texts,
    )
    carried = Quantity(
        key=f"carried.{name}",
        member=name,
        title=gettext_noop("Water that it carries"),
        formula=_CARRIED[basis],
        inputs=inputs,
        **texts,
    )
    return weighed, carried


def _refuse_bulking(name: str, *, state: State) -> None:
    if state.bulking_percent is not None:
        message = (
            f"{name} is weighed, so its bulking of {state.bulking_percent:g} % cannot be used; "
            "weighing takes the moisture, volume batching the bulking: leave one out"
        )
        raise ValueError(message)


def by_volume(name: str, *, volume: Input, state: State) -> Quantity:
    """Volume to gauge out of moist sand, which stands looser than dry.

    Source: IS 2386-3: bulking is the moist over the flooded depth less one; a volume batch takes it.

    Args:
        name: "sand" or "stone-<size>".
        volume: dry loose volume by the mix [L or m³].
        state: the bulking; no moisture, which would correct the same sand twice.

    Returns:
        `gauge.<name>` in the unit of the volume.

    Raises:
        ValueError: a moisture is stated for the same volume.

    >>> by_volume("sand", volume=Input(70, "L", ""), state=State(bulking_percent=20.0)).net
    84.0
    """
    if state.moisture_percent is not None:
        message = (
            f"{name} is gauged by volume, so its moisture of {state.moisture_percent:g} % cannot correct it; "
            "volume batching takes the bulking, weighing the moisture: leave one out"
        )
        raise ValueError(message)
    bulking = Input(state.bulking_percent or 0.0, "%", "measured on site")
    return Quantity(
        key=f"gauge.{name}",
        member=name,
        title=gettext_noop("Volume to gauge, as it lies"),
        unit=volume.unit,
        formula="volume * (1 + bulking / 100)",
        inputs={"volume": volume, "bulking": bulking},
        method="bulking of the dry volume",
        source="derived: bulking as measured in the jar",
    )


def bulking_percent(*, moist: float, flooded: float) -> float:
    """Bulking from the jar: moist depth over flooded depth.

    Source: IS 2386-3: (moist − flooded) ÷ flooded.

    Args:
        moist: depth of the moist sand [any unit].
        flooded: depth of the same sand under water [same unit].

    Returns:
        The bulking [%].

    Raises:
        ValueError: the flooded depth is not more than 0 or more than the moist one.

    >>> bulking_percent(moist=15, flooded=12)
    25.0
    """
    if not 0 < flooded <= moist:
        message = f"flooded depth {flooded:g} must be more than 0 and at most the moist depth {moist:g}"
        raise ValueError(message)
    return (moist / flooded - 1) * 100
