"""What a line of a delivery comes to: stock units taken in, and for bars their mass, number and length."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Protocol

from django.utils.translation import gettext as _

from estimates.models import Material, Pack
from inventory.calc import money
from inventory.services import measures
from inventory.services.measures import Measure
from projects.errors import Refused

LONGEST_BAR_MM = 18_000
"""Longest bar that mills deliver without a special train. Source: common practice.

A pack of bars that holds more is a bundle: what one of its bars measures is then asked for.
"""


class BadRejection(Refused):
    """More was rejected than was found, or the reason is missing."""

    code = "bad_rejection"


class BadBars(Refused):
    """Bars whose number and length do not fit what was found, or that are no bars."""

    code = "bad_bars"


class Line(Protocol):
    """What a line says that was measured."""

    @property
    def found(self) -> Decimal:
        """Of the unit, as counted or measured."""
        ...

    @property
    def rejected(self) -> Decimal:
        """Of the unit, part of what was found."""
        ...

    @property
    def reject_reason(self) -> str:
        """Why."""
        ...

    @property
    def unit(self) -> str:
        """Unit of the figures when no pack is named."""
        ...

    @property
    def measured_kg_per_m(self) -> Decimal | None:
        """Mass of a metre, as weighed."""
        ...

    @property
    def bars(self) -> int | None:
        """Good bars, counted beside the scales."""
        ...

    @property
    def bar_length_mm(self) -> int | None:
        """Length of one bar."""
        ...


@dataclass(frozen=True, kw_only=True)
class Load:
    """A measured line: stock units accepted; of bars also mass, number, length of one and mass per metre.

    `mass_g` is weighed, or follows from length and mass per metre. `measured_mg_per_mm` is what the site
    weighed of a metre, `implied_mg_per_mm` what a weighed load of counted bars comes to.
    """

    measure: Measure
    found_thousandths: int
    rejected_thousandths: int
    accepted: int
    mass_g: int | None = None
    bars: int | None = None
    bar_length_mm: int = 0
    measured_mg_per_mm: int | None = None
    implied_mg_per_mm: int | None = None


def of(line: Line, *, material: Material, pack: Pack | None, measure: Measure | None = None) -> Load:
    """Work out what is taken into the store, by the unit's own conversion or the `measure` given for it.

    Bars may be counted, measured in metres, or weighed; weighed and counted, the two give their mass per
    metre. Refused are a unit that the material has not (`bad_unit`), a rejection without reason or above what
    was found (`bad_rejection`), and bars that do not fit (`bad_bars`).
    """
    measured = _measured_mass(line, material=material)
    if measure is None:
        measure = measures.measure(material, pack=pack, unit=line.unit, measured_mg_per_mm=measured)
    load = Load(
        measure=measure,
        found_thousandths=measures.thousandths(line.found, field="found"),
        rejected_thousandths=measures.thousandths(line.rejected, field="rejected"),
        accepted=0,
        measured_mg_per_mm=measured,
    )
    _require_rejection(line, unit=measure.unit)
    good = load.found_thousandths - load.rejected_thousandths
    load = replace(load, accepted=measures.bounded(measure.stock(good), field="found"))
    if material.stock_unit != "mm":
        _require_no_bars(line, material=material)
        return load
    length = bar_length(line.bar_length_mm, material=material, pack=pack)
    grams = _grams(pack, unit=measures.plain_unit(line.unit))
    if grams:
        mass_g = good * grams // 1_000
        per_metre = measured or material.nominal_mg_per_mm or 0
        accepted = money.half_even(mass_g * 1_000, denominator=per_metre)
        weighed = replace(load, accepted=accepted, mass_g=mass_g, bar_length_mm=length)
        return _counted_too(weighed, line=line, material=material)
    per_metre = measured or material.nominal_mg_per_mm or 0
    mass_g = money.half_even(load.accepted * per_metre, denominator=1_000)
    found = replace(load, mass_g=mass_g, bar_length_mm=length, bars=_whole(load.accepted, of=length))
    if line.bars is not None and line.bars != found.bars:
        message = _("%(bars)s bars of %(length)s mm are not what was found. Correct one of the figures.")
        raise BadBars(message % {"bars": line.bars, "length": length}, field="bars")
    return found


def _require_no_bars(line: Line, *, material: Material) -> None:
    if line.bars is not None or line.bar_length_mm is not None:
        message = _("%(material)s has no bars to count. Leave their number and length empty.")
        raise BadBars(message % {"material": material.name}, field="bars")


def _measured_mass(line: Line, *, material: Material) -> int | None:
    if line.measured_kg_per_m is None:
        return None
    if material.stock_unit != "mm":
        message = _("%(material)s has no mass per metre; only bars have.")
        raise measures.BadUnit(message % {"material": material.name}, field="measured_kg_per_m")
    mass = measures.thousandths(line.measured_kg_per_m, field="measured_kg_per_m")
    if mass == 0:
        message = _("The mass per metre is 0. Weigh a bar, or leave it empty.")
        raise measures.BadQuantity(message, field="measured_kg_per_m")
    return mass


def _require_rejection(line: Line, *, unit: str) -> None:
    if line.rejected > line.found:
        message = _("%(rejected)s %(unit)s rejected is more than the %(found)s found. Correct one of them.")
        params = {"rejected": line.rejected, "found": line.found, "unit": unit}
        raise BadRejection(message % params, field="rejected")
    if line.rejected and not line.reject_reason.strip():
        raise BadRejection(_("Say why part of it was rejected."), field="reject_reason")


def bar_length(typed: int | None, *, material: Material, pack: Pack | None) -> int:
    """Length of one bar: as typed, else the pack's own when it is one bar; 0 when it is not known.

    Refused with `bad_bars` when the material has no bars, or none is so long.
    """
    if material.stock_unit != "mm":
        if typed is not None:
            message = _("%(material)s has no bars to count. Leave their number and length empty.")
            raise BadBars(message % {"material": material.name}, field="bar_length_mm")
        return 0
    if typed is not None:
        if not 0 < typed <= LONGEST_BAR_MM:
            message = _("A bar of %(length)s mm: it must be above 0 and at most %(most)s mm.")
            raise BadBars(message % {"length": typed, "most": LONGEST_BAR_MM}, field="bar_length_mm")
        return typed
    one = pack is not None and pack.mass_g is None and pack.content <= LONGEST_BAR_MM
    return pack.content if pack is not None and one else 0


def _grams(pack: Pack | None, *, unit: str) -> int:
    """Grams in one of what the line is measured in; 0 when it is not weighed."""
    if pack is not None:
        return pack.mass_g or 0
    return money.GRAMS_PER_MASS_UNIT.get(unit, 0)


def _counted_too(load: Load, *, line: Line, material: Material) -> Load:
    """Weighed bars that were counted as well: number × length is what came, and the mass tells their g/m."""
    if line.bars is None:
        return load
    good = load.found_thousandths - load.rejected_thousandths
    if line.bars <= 0 or not load.bar_length_mm or not good:
        message = _("Give the number of good bars, above 0, together with the length of one.")
        raise BadBars(message, field="bars" if line.bars <= 0 else "bar_length_mm")
    accepted = measures.bounded(line.bars * load.bar_length_mm, field="bars")
    found = money.half_even((load.mass_g or 0) * 1_000, denominator=accepted)
    nominal = material.nominal_mg_per_mm or 0
    if not nominal <= 2 * found <= 4 * nominal:
        message = _(
            "%(bars)s bars of %(length)s mm would weigh %(found)s g/m, by the table it is %(nominal)s. "
            "Correct the mass, the number or the length."
        )
        params = {"bars": line.bars, "length": load.bar_length_mm, "found": found, "nominal": nominal}
        raise BadBars(message % params, field="bars", **params)
    source = _("counted: %(bars)s bars of %(length)s mm, so %(found)s g/m")
    params = {"bars": line.bars, "length": load.bar_length_mm, "found": found}
    measure = Measure(
        load.measure.unit, money.half_even(accepted * 1_000_000, denominator=good), source % params
    )
    return replace(load, measure=measure, accepted=accepted, bars=line.bars, implied_mg_per_mm=found)


def _whole(accepted: int, *, of: int) -> int | None:
    return accepted // of if of and accepted % of == 0 else None
