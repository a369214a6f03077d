"""The ways in which a load is measured: what each asks for, and what it makes of the answers."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from estimates.calc.wording import gettext_noop
from inventory.calc.measuring import body, moisture, weighing
from inventory.calc.measuring.body import Body


@dataclass(frozen=True, slots=True)
class Reading:
    """A figure that was read, or one that was assumed in its place."""

    value: Decimal
    measured: bool = True

    @property
    def exact(self) -> Fraction:
        """The figure as a fraction."""
        return Fraction(self.value)


@dataclass(frozen=True, slots=True)
class Asked:
    """A figure that a method asks for, with the bounds beyond which it is a mistake."""

    name: str
    title: str
    unit: str
    least: Decimal
    most: Decimal
    needed: bool = True
    whole: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What a method makes of its readings.

    One of `volume` [m³], `mass` [kg], `bags` and `bars` says how much there is; the others go with it:
    `mean` [kg] of the bags weighed, `length` [m] and `per_metre` [kg/m] of the bars. `working` says how.
    """

    volume: Fraction | None = None
    mass: Fraction | None = None
    bags: int | None = None
    mean: Fraction | None = None
    bars: int | None = None
    length: Fraction | None = None
    per_metre: Fraction | None = None
    working: str = ""


Readings = Mapping[str, Reading]


@dataclass(frozen=True, slots=True)
class Method:
    """A way of measuring; `work_out` is None where the figure itself was counted."""

    code: str
    title: str
    asks: tuple[Asked, ...]
    work_out: Callable[[Readings], Found] | None = None


def _metres(name: str, title: str, *, most: str = "20", needed: bool = True, least: str = "0.05") -> Asked:
    return Asked(name, title, "m", Decimal(least), Decimal(most), needed)


STATE: Final = (
    Asked("jar_moist", gettext_noop("Jar, moist sand"), "ml", Decimal(1), Decimal(2_000), needed=False),
    Asked(
        "jar_flooded",
        gettext_noop("Jar, the same under water"),
        "ml",
        Decimal(1),
        Decimal(2_000),
        needed=False,
    ),
    Asked(
        "bulking", gettext_noop("Bulking, if no jar was filled"), "%", Decimal(0), Decimal(60), needed=False
    ),
    Asked("moisture", gettext_noop("Moisture"), "%", Decimal(0), Decimal(40), needed=False),
)
"""What tells how moist a loose load lies; it may be asked with every method."""

COUNTED: Final = Method("counted", gettext_noop("counted, or by the unit"), ())


def _truck(readings: Readings) -> Found:
    """Work a truck body out."""
    got = {name: reading.exact for name, reading in readings.items()}
    depths = [got["depth_1"], got["depth_2"], got["depth_3"]]
    made = Body(
        length=got["length"],
        width=got["width"],
        depths=depths,
        bottom_length=got.get("bottom_length"),
        bottom_width=got.get("bottom_width"),
        heap=got.get("heap", Fraction(0)),
    )
    length, width = _words(got["length"]), _words(got["width"])
    depth = f"({' + '.join(_words(d) for d in depths)}) / 3"
    if made.bottom_length is None and made.bottom_width is None:
        working = f"{length} × {width} × {depth}"
    elif made.bottom_width is None and made.bottom_length is not None:
        working = f"({length} + {_words(made.bottom_length)}) / 2 × {width} × {depth}"
    else:
        below = f"{_words(made.bottom_length or made.length)} × {_words(made.bottom_width or made.width)}"
        working = f"prismoid of {length} × {width} and {below} over {depth}"
    if made.heap:
        working += f" + {length} × {width} × {_words(made.heap)} / 3"
    return Found(volume=body.volume(made), working=working)


def _bridge(readings: Readings) -> Found:
    """Work a weighbridge out; with a bulk density the mass becomes a volume."""
    gross, tare = readings["gross"], readings["tare"]
    mass = weighing.net(gross=gross.exact, tare=tare.exact)
    working = f"{_words(gross.exact)} − {_words(tare.exact)}"
    density = readings.get("density")
    if density is None:
        return Found(mass=mass, working=working)
    volume = weighing.loose_volume(mass, density=density.exact)
    return Found(volume=volume, mass=mass, working=f"({working}) / {_words(density.exact)}")


def _bags(readings: Readings) -> Found:
    """Work bags out that were counted, and some of them weighed."""
    bags, weighed = int(readings["bags"].value), int(readings["weighed"].value)
    if weighed > bags:
        raise ValueError(f"{weighed} bags weighed are more than the {bags} counted")
    total = readings["weighed_mass"].exact
    mean = weighing.mean(total, of=weighed)
    return Found(bags=bags, mean=mean, working=f"{_words(total)} / {weighed} = {_words(mean)} kg")


def _bars(readings: Readings) -> Found:
    """Work bars out that were counted, with pieces weighed."""
    mass, length = readings["pieces_mass"].exact, readings["pieces_length"].exact
    per_metre = weighing.per_metre(mass, length=length)
    bars, one = int(readings["bars"].value), readings["bar_length"].exact
    working = f"{bars} × {_words(one)} m; {_words(mass)} / {_words(length)} = {_words(per_metre)} kg/m"
    return Found(bars=bars, length=one, per_metre=per_metre, working=working)


TRUCK: Final = Method(
    "truck",
    gettext_noop("truck body measured inside"),
    (
        _metres("length", gettext_noop("Length inside")),
        _metres("width", gettext_noop("Width inside"), most="4"),
        _metres("depth_1", gettext_noop("Depth 1, by rod"), most="4"),
        _metres("depth_2", gettext_noop("Depth 2"), most="4"),
        _metres("depth_3", gettext_noop("Depth 3"), most="4"),
        _metres("bottom_length", gettext_noop("Length at the bottom, if it tapers"), needed=False),
        _metres("bottom_width", gettext_noop("Width at the bottom, if it tapers"), most="4", needed=False),
        _metres(
            "heap",
            gettext_noop("Crown above that, if it was not struck level"),
            most="2",
            needed=False,
            least="0",
        ),
        *STATE,
    ),
    _truck,
)

BRIDGE_MASS: Final = (
    Asked("gross", gettext_noop("Gross, with the load"), "kg", Decimal(1), Decimal(100_000)),
    Asked("tare", gettext_noop("Tare, empty"), "kg", Decimal(0), Decimal(100_000)),
)
BRIDGE: Final = Method("weighbridge", gettext_noop("weighbridge"), BRIDGE_MASS, _bridge)
BRIDGE_LOOSE: Final = Method(
    "weighbridge",
    gettext_noop("weighbridge"),
    (
        *BRIDGE_MASS,
        Asked("density", gettext_noop("Bulk density as it lies"), "kg/m³", Decimal(800), Decimal(2_400)),
        *STATE,
    ),
    _bridge,
)
BAGS: Final = Method(
    "bags",
    gettext_noop("bags counted, some weighed"),
    (
        Asked("bags", gettext_noop("Bags counted"), "no.", Decimal(1), Decimal(5_000), whole=True),
        Asked(
            "weighed", gettext_noop("Of them weighed, best ten"), "no.", Decimal(1), Decimal(500), whole=True
        ),
        Asked("weighed_mass", gettext_noop("Their mass together"), "kg", Decimal(1), Decimal(30_000)),
    ),
    _bags,
)
BARS: Final = Method(
    "bars",
    gettext_noop("bars counted, pieces weighed"),
    (
        Asked("bars", gettext_noop("Good bars counted"), "no.", Decimal(1), Decimal(100_000), whole=True),
        _metres("bar_length", gettext_noop("Length of one bar"), most="18"),
        _metres("pieces_length", gettext_noop("Pieces weighed, length together"), most="100"),
        Asked(
            "pieces_mass",
            gettext_noop("Pieces weighed, mass together"),
            "kg",
            Decimal("0.01"),
            Decimal(1_000),
        ),
    ),
    _bars,
)
TICKET: Final = Method("ticket", gettext_noop("ticket of a ready-mixed truck"), ())
COUNTED_LOOSE: Final = Method(COUNTED.code, COUNTED.title, STATE)


def of_material(code: str, *, stock_unit: str) -> tuple[Method, ...]:
    """List the ways in which a material's load can be measured, the handiest first.

    Source: common practice, as the trade measures each kind.

    Args:
        code: the material's code, such as sand or steel-12.
        stock_unit: the unit in which it is kept.

    Returns:
        One method at least.

    >>> [method.code for method in of_material("sand", stock_unit="cm3")]
    ['truck', 'weighbridge', 'counted']
    >>> [method.code for method in of_material("steel-12", stock_unit="mm")]
    ['bars', 'weighbridge', 'counted']
    """
    kind = code.split("-", maxsplit=1)[0]
    if code == "ready-mixed":
        return (TICKET, COUNTED)
    if stock_unit == "cm3" and kind in {"sand", "stone"}:
        return (TRUCK, BRIDGE_LOOSE, COUNTED_LOOSE)
    by_unit = {"g": (BAGS, BRIDGE, COUNTED), "mm": (BARS, BRIDGE, COUNTED)}
    return by_unit.get(stock_unit, (COUNTED,))


def bulking_of(readings: Readings) -> Fraction | None:
    """Tell the bulking of a load: from the jar when it was filled, else as it was stated.

    Source: IS 2386-3, see `moisture.bulking_percent`.

    Args:
        readings: the readings of the load.

    Returns:
        The bulking [%], None when neither is known.

    Raises:
        ValueError: half a jar, or a jar and a bulking: one sand would be corrected by two figures.

    >>> jar = {"jar_moist": Reading(Decimal(200)), "jar_flooded": Reading(Decimal(160))}
    >>> bulking_of(jar)
    Fraction(25, 1)
    """
    moist, flooded, stated = (readings.get(name) for name in ("jar_moist", "jar_flooded", "bulking"))
    if moist is None and flooded is None:
        return None if stated is None else stated.exact
    if moist is None or flooded is None:
        raise ValueError("a jar has two readings: the moist sand, and the same under water")
    if stated is not None:
        raise ValueError("a jar was filled and a bulking stated: leave one of them out")
    return moisture.bulking_percent(moist=moist.exact, flooded=flooded.exact)


def dry_of(found: Found, *, readings: Readings) -> Fraction | None:
    """Tell what a loose load would be dry, in m³: volume by its bulking, or mass by moisture and density.

    Source: derived: see `moisture`; the volume takes the bulking, and the moisture is kept beside it.

    Args:
        found: the load as it lies, with its volume.
        readings: the readings of the load.

    Returns:
        The dry volume [m³], None when neither bulking nor volume is known.

    10 m³ of sand that bulks by 25 % are 8 m³ dry:

    >>> dry_of(Found(volume=Fraction(10)), readings={"bulking": Reading(Decimal(25))})
    Fraction(8, 1)
    """
    bulking = bulking_of(readings)
    if found.volume is None or bulking is None:
        return None
    return moisture.dry_volume(found.volume, bulking=bulking)


def _words(figure: Fraction) -> str:
    return f"{round(float(figure), 4):g}" if figure < 100_000 else f"{float(figure):.0f}"
