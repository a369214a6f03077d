"""How a load was measured: readings checked, what they come to in the unit of the line, and what is kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _

from estimates.models import Material, Pack
from estimates.standards.values import Profile
from inventory.calc import money
from inventory.calc.measuring import methods, ticket, weighing
from inventory.calc.measuring.methods import Asked, Found, Method, Reading
from inventory.services import measures
from inventory.services.measures import Measure
from projects.errors import Refused

THOUSANDTHS = 1_000
FINEST = Decimal("0.0001")
"""Readings are kept to a ten-thousandth of their unit: a tenth of a millimetre, of a gram."""


class BadMeasurement(Refused):
    """A way of measuring that the material has not, or readings that are missing or do not fit together."""

    code = "bad_measurement"


class BadReading(Refused):
    """A reading beyond what it can be."""

    code = "bad_reading"


@dataclass(frozen=True)
class ReadingAct:
    """A figure that was read by its name, or assumed."""

    name: str
    value: Decimal
    measured: bool = True


@dataclass(frozen=True)
class TicketAct:
    """The times on a ready-mixed ticket."""

    batched_at: datetime
    arrived_at: datetime | None = None
    discharged_at: datetime | None = None


@dataclass(frozen=True)
class MeasurementAct:
    """How a load was measured: the method's code, its readings, and the ticket of a ready-mixed truck."""

    method: str = methods.COUNTED.code
    readings: tuple[ReadingAct, ...] = ()
    ticket: TicketAct | None = None


@dataclass(frozen=True)
class Measured:
    """A line with what its measurement came to, and what is kept of it.

    `line` has the figures filled in; `measure` stands in the place of the unit's own conversion where bags
    were found short.
    """

    line: Any
    measure: Measure | None = None
    method: str = methods.COUNTED.code
    readings: list[dict[str, Any]] = field(default_factory=list)
    working: str = ""
    volume: Fraction | None = None
    bulking: Fraction | None = None
    moisture: Fraction | None = None
    ticket: TicketAct | None = None


def settled(line: Any, *, material: Material, pack: Pack | None, profile: Callable[[], Profile]) -> Measured:
    """Work the readings of a line out into the figures that it lacks.

    Refused are a method that the material has not, readings unknown, missing, doubled or not fitting together
    (`bad_measurement`), and one beyond its bounds (`bad_reading`).
    """
    act: MeasurementAct | None = line.measurement
    if act is None:
        return Measured(line)
    method = _method(act, material=material)
    readings = _readings(act, method=method)
    _require_ticket(act)
    try:
        found = method.work_out(readings) if method.work_out else Found()
        bulking = methods.bulking_of(readings)
    except ValueError as fault:
        message = _("The readings do not fit together: %(fault)s. Correct them.")
        raise BadMeasurement(message % {"fault": fault}, field="readings") from fault
    kept = Measured(
        line,
        method=method.code,
        readings=_kept(readings, method=method),
        working=found.working[:300],
        volume=found.volume,
        bulking=bulking,
        moisture=readings["moisture"].exact if "moisture" in readings else None,
        ticket=act.ticket,
    )
    if method.work_out is None:
        return kept
    if line.found:
        message = _("What was found follows from the readings. Leave the figure out.")
        raise BadMeasurement(message, field="found")
    return _filled(kept, found=found, material=material, pack=pack, profile=profile)


def _method(act: MeasurementAct, *, material: Material) -> Method:
    known = methods.of_material(material.code, stock_unit=material.stock_unit)
    found = next((method for method in known if method.code == act.method), None)
    if found is None:
        message = _("%(material)s is not measured by “%(method)s”. Choose one of: %(known)s.")
        codes = ", ".join(method.code for method in known)
        params = {"material": material.name, "method": act.method, "known": codes}
        raise BadMeasurement(message % params, field="method")
    return found


def _readings(act: MeasurementAct, *, method: Method) -> dict[str, Reading]:
    asked = {ask.name: ask for ask in method.asks}
    found: dict[str, Reading] = {}
    for reading in act.readings:
        ask = asked.get(reading.name)
        if ask is None or reading.name in found:
            message = _("“%(name)s” is no reading of this method, or stands twice. It asks for: %(known)s.")
            params = {"name": reading.name, "known": ", ".join(asked) or "–"}
            raise BadMeasurement(message % params, field="readings")
        found[reading.name] = _bounded(reading, ask=ask)
    missing = [ask.name for ask in method.asks if ask.needed and ask.name not in found]
    if missing:
        message = _("Readings are missing: %(missing)s. Measure them, or give them as assumed.")
        raise BadMeasurement(message % {"missing": ", ".join(missing)}, field=missing[0])
    return found


def _bounded(reading: ReadingAct, *, ask: Asked) -> Reading:
    value = reading.value
    params = {"title": _(ask.title), "value": value, "unit": ask.unit, "least": ask.least, "most": ask.most}
    if not value.is_finite() or not ask.least <= value <= ask.most:
        message = _("%(title)s of %(value)s %(unit)s must lie between %(least)s and %(most)s. Read it again.")
        raise BadReading(message % params, field=ask.name)
    finest = Decimal(1) if ask.whole else FINEST
    if value % finest:
        message = _("%(title)s of %(value)s %(unit)s is finer than it can be read. Round it.")
        raise BadReading(message % params, field=ask.name)
    return Reading(value, reading.measured)


def _require_ticket(act: MeasurementAct) -> None:
    """Ask for the times where the method is the ticket, and nowhere else."""
    if (act.method == methods.TICKET.code) != (act.ticket is not None):
        message = _("The times of the ticket go with a ready-mixed truck, and are asked for there.")
        raise BadMeasurement(message, field="batched_at")
    if act.ticket is None:
        return
    made = act.ticket
    if any(
        at is not None and at.tzinfo is None for at in (made.batched_at, made.arrived_at, made.discharged_at)
    ):
        raise BadMeasurement(_("Give the times with their time zone."), field="batched_at")
    times = ticket.Times(batched=made.batched_at, arrived=made.arrived_at, discharged=made.discharged_at)
    try:
        ticket.ages(times)
    except ValueError as fault:
        message = _("The times of the ticket do not fit together: %(fault)s. Read them again.")
        raise BadMeasurement(message % {"fault": fault}, field="batched_at") from fault


def _kept(readings: dict[str, Reading], *, method: Method) -> list[dict[str, Any]]:
    asked = {ask.name: ask for ask in method.asks}
    return [
        {
            "name": name,
            "value": f"{got.value.normalize():f}",
            "unit": asked[name].unit,
            "measured": got.measured,
        }
        for name, got in readings.items()
    ]


def _filled(
    kept: Measured, *, found: Found, material: Material, pack: Pack | None, profile: Callable[[], Profile]
) -> Measured:
    """Put what was found into the line, in the line's own unit."""
    if found.bags is not None:
        return _bags(kept, found=found, pack=pack, profile=profile)
    if found.bars is not None:
        return _bars(kept, found=found, material=material, pack=pack)
    if material.stock_unit == "mm":
        mass = (found.mass or Fraction(0)) * 1_000
        return _with(kept, found=mass / _grams_in_unit(kept.line, material=material, pack=pack))
    measure = measures.measure(material, pack=pack, unit=kept.line.unit)
    stock = found.volume * 1_000_000 if found.volume is not None else (found.mass or Fraction(0)) * 1_000
    return _with(kept, found=stock * THOUSANDTHS / measure.stock_per_unit)


def _bags(kept: Measured, *, found: Found, pack: Pack | None, profile: Callable[[], Profile]) -> Measured:
    """Bags count as their print says, unless the mean of those weighed is short beyond the tolerance."""
    if pack is None:
        message = _("Bags are counted in a pack: choose the bag with the mass that is printed on it.")
        raise BadMeasurement(message, field="pack_id")
    mean = found.mean or Fraction(0)
    short = weighing.deviation_percent(mean * 1_000, nominal=Fraction(pack.content))
    made = _with(kept, found=Fraction(found.bags or 0))
    if -short <= Fraction(profile().value("receiving.bag.short").value):
        return made
    source = _("weighed: mean %(mean)s kg, not the %(print)s kg printed")
    params = {"mean": f"{float(mean):.3f}", "print": f"{pack.content / 1_000:g}"}
    return replace(made, measure=Measure(pack.name, round(mean * 1_000_000), source % params))


def _bars(kept: Measured, *, found: Found, material: Material, pack: Pack | None) -> Measured:
    """Bars counted and sampled: in bars, metres, or the mass that number, length and sample give."""
    line = kept.line
    count, length = found.bars or 0, found.length or Fraction(0)
    per_metre = found.per_metre or Fraction(0)
    facts = {
        "measured_kg_per_m": Decimal(round(per_metre * THOUSANDTHS)) / THOUSANDTHS,
        "bar_length_mm": round(length * THOUSANDTHS),
    }
    if pack is None or pack.mass_g is not None:
        weighs = pack is not None or measures.plain_unit(line.unit) in money.GRAMS_PER_MASS_UNIT
        if weighs:
            if line.rejected:
                message = _("Count the good bars alone; what goes back is not counted here. Leave it empty.")
                raise BadMeasurement(message, field="rejected")
            mass = count * length * per_metre * 1_000
            grams = _grams_in_unit(line, material=material, pack=pack)
            return _with(kept, found=mass / grams, bars=count, **facts)
    measure = measures.measure(material, pack=pack, unit=line.unit)
    return _with(kept, found=count * length * 1_000 * THOUSANDTHS / measure.stock_per_unit, **facts)


def _grams_in_unit(line: Any, *, material: Material, pack: Pack | None) -> int:
    grams = pack.mass_g if pack is not None else money.GRAMS_PER_MASS_UNIT.get(measures.plain_unit(line.unit))
    if not grams:
        message = _("%(material)s from the weighbridge is recorded in kg, quintal or t. Choose that unit.")
        raise BadMeasurement(message % {"material": material.name}, field="unit")
    return grams


def _with(kept: Measured, *, found: Fraction, **facts: Any) -> Measured:
    figure = Decimal(round(found * THOUSANDTHS)) / THOUSANDTHS
    return replace(kept, line=replace(kept.line, found=figure, **facts))
