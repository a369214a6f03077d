"""The works beside concrete and steel: supply, curing, consumables, surface waterproofing, plant, crew.

Lengths are in millimetres throughout. Unknown fields are refused everywhere.
"""

from typing import Annotated, Literal

from pydantic import Field
from pydantic.dataclasses import dataclass

from estimates.calc.sheet import types
from estimates.calc.sheet.strict import STRICT

MAX_CONSUMABLES = 20
MAX_TURN_UPS = 50
MAX_EDGES = 500

Days = Annotated[float, Field(strict=True, allow_inf_nan=False, gt=0, le=366)]
"""Days, also in halves and quarters [day]."""

Machines = Annotated[int, Field(strict=True, ge=1, le=50)]
"""A number of machines on hire at once."""

Rate = Annotated[float, Field(strict=True, allow_inf_nan=False, gt=0, le=1_000)]
"""An amount for one square metre."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Curing:
    """How the slab is kept wet."""

    cement: Literal["opc", "blended", "high_early", "unknown"]
    """Kind of cement; an unknown one counts as blended."""
    method: Literal["ponding", "wet_cover", "sheet", "compound"]
    """Ponded water, wet hessian or cloth, plastic sheet, or a curing compound."""
    hot_dry: bool = Field(default=False, strict=True)
    """Whether hot dry weather is expected."""
    days: Annotated[int, Field(strict=True, ge=1, le=60)] | None = None
    """Days stated by the engineer; left out: the profile's [day]."""
    strength_gain: Literal["rapid", "medium", "slow", "very_slow"] | None = None
    """Gain of strength, where the profile's days depend on it; left out: by the cement."""
    temperature: Literal["5_10", "10_15", "15_25", "over_25"] | None = None
    """Temperature of the surface [°C], where the profile's days depend on it; left out: 15 to 25."""
    rule: types.MethodName | None = None
    """Named rule for the days; left out: the profile's own."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Supply:
    """Where the concrete comes from: the bill buys its constituents or ready-mixed concrete, never both."""

    kind: Literal["site_mixed", "ready_mixed"]
    """Mixed on site, or bought ready-mixed."""
    truck_m3: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0.5, le=20)] | None = None
    """What one truck carries; left out: the profile's [m³]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Consumable:
    """Something used up with the formwork or over the slab, bought when it stands here."""

    item: Literal["mould_oil", "nails", "rain_cover"]
    """Mould oil and nails by formwork area, rain cover by the slab's area."""
    method: types.MethodName | None = None
    """Named rate of the profile, as "steel" for oil on steel sheets; left out: the profile's own."""
    rate: Rate | None = None
    """Amount for one square metre, in place of a named rate [L/m², kg/m² or m²/m²]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class TurnUp:
    """A strip of waterproofing that goes up a wall, a parapet or a pipe."""

    height_mm: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=10, le=3_000)]
    """How far it goes up [mm]."""
    edges: Annotated[
        tuple[Annotated[int, Field(strict=True, ge=1, le=MAX_EDGES)], ...], Field(max_length=MAX_EDGES)
    ] = ()
    """Edges of the outline that it follows, counted from 1 between the first and the second corner."""
    length_mm: types.Length | None = None
    """A length beside the edges, as round pipes; edges and length left out: the whole outline [mm]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Waterproofing:
    """Coats on the top of the slab and up its edges."""

    system: types.MethodName
    """Named system of the profile, as "cement_slurry"; it says what is bought and how much a coat takes."""
    coats: Annotated[int, Field(strict=True, ge=1, le=10)] | None = None
    """Number of coats; left out: the system's."""
    per_coat: Rate | None = None
    """What one coat takes, in place of the system's [kg/m² or L/m²]."""
    turn_ups: Annotated[tuple[TurnUp, ...], Field(max_length=MAX_TURN_UPS)] = ()
    """Turn-ups at edges, parapets and pipes."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Plant:
    """Machines on hire for the pour."""

    norm: types.MethodName | None = None
    """Named output norm for machines whose days are not stated; left out: the profile's own."""
    mixers: Machines = 1
    """Mixers at work at once; none are hired for ready-mixed concrete."""
    mixer_days: Days | None = None
    """Days that each mixer is on hire; left out: by the norm [day]."""
    vibrators: Machines = 1
    """Vibrators at work at once."""
    spare_vibrators: Annotated[int, Field(strict=True, ge=0, le=20)] = 1
    """Vibrators on site as a spare."""
    vibrator_days: Days | None = None
    """Days that each vibrator is on hire; left out: by the norm [day]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Crew:
    """People who mix, carry, place and finish, as days of one person."""

    norm: types.MethodName | None = None
    """Named output norm; left out: the profile's own."""
    mason_days: Days | None = None
    """Masons, in place of the norm [day]."""
    labourer_days: Days | None = None
    """Labourers, in place of the norm [day]."""
    water_carrier_days: Days | None = None
    """Water carriers, in place of the norm [day]."""
