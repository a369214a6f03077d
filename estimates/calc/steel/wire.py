"""Soft wire that ties the bars, by named methods: by mass of steel, by size of bar, by area of slab."""

from typing import Final

from estimates.calc import consumables
from estimates.calc.derivation import Input, Quantity, carried, cited
from estimates.calc.sheet.types import WireMethod
from estimates.calc.wording import gettext_noop
from estimates.standards.values import Profile

_BANDS: Final = ("small", "middle", "large")


def quantity(
    total: Quantity,
    *,
    sizes: dict[float, Quantity],
    area: Input,
    method: WireMethod | None,
    profile: Profile,
) -> Quantity:
    """Binding wire of a slab.

    Source: the named method's own value; `steel.method.wire` of the profile when the sheet names none.

    Args:
        total: mass of all bars [kg].
        sizes: mass of the bars of each size, by nominal diameter [mm].
        area: the slab's area in plan [m²].
        method: the sheet's method, None for the profile's.
        profile: the standards profile.

    Returns:
        `steel.binding_wire` [kg].

    >>> from estimates.standards import load
    >>> texts = {"member": "", "title": "", "method": "", "source": ""}
    >>> steel = Quantity(key="steel.total", unit="kg", formula="1000", inputs={}, **texts)
    >>> shared = {"sizes": {16.0: steel}, "area": Input(100, "m²", "plan"), "profile": load.profile("is")}
    >>> [quantity(steel, method=name, **shared).net for name in ("by_mass", "by_size", "by_area")]
    [10.0, 6.0, 27.0]
    """
    chosen = method or profile.choice("steel.method.wire").value
    if chosen == "by_area":
        rate = profile.value("steel.wire.by_area.rate")
        inputs = {"area": area, "rate": cited(rate)}
        return _line("area * rate", inputs=inputs, method="by area of slab", source=rate.citation)
    if chosen == "by_size":
        return _by_size(sizes, profile=profile)
    return consumables.binding_wire(carried(total), profile=profile)


def _by_size(sizes: dict[float, Quantity], *, profile: Profile) -> Quantity:
    inputs: dict[str, Input] = {}
    terms = []
    for diameter, steel in sorted(sizes.items()):
        band = _band(diameter, profile=profile)
        name = f"size_{diameter:g}".replace(".", "_")
        inputs[name] = carried(steel)
        inputs[f"rate_{band}"] = cited(profile.value(f"steel.wire.by_size.rate.{band}"))
        terms.append(f"{name} * rate_{band}")
    source = profile.value("steel.wire.by_size.rate.small").citation
    formula = f"({' + '.join(terms)}) / 1000"
    return _line(formula, inputs=inputs, method="by size of bar", source=source)


def _band(diameter_mm: float, *, profile: Profile) -> str:
    for band in _BANDS[:-1]:
        if diameter_mm <= profile.number(f"steel.wire.by_size.up_to.{band}"):
            return band
    return _BANDS[-1]


def _line(formula: str, *, inputs: dict[str, Input], method: str, source: str) -> Quantity:
    return Quantity(
        key="steel.binding_wire",
        member="",
        title=gettext_noop("Binding wire"),
        unit="kg",
        formula=formula,
        inputs=inputs,
        method=method,
        source=source,
        material="binding-wire",
        kind="binding-wire",
    )
