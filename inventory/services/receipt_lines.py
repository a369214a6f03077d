"""A line of a delivery: measured, told apart by its lot, valued, and kept as it was said."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from django.utils.translation import gettext as _

from estimates.models import Material, Pack
from estimates.standards.values import Profile
from inventory.calc.measuring import methods, moisture
from inventory.models import OrderLine, Receipt, ReceiptCheck, ReceiptLine
from inventory.services import checks, loads, lots, measures, measurings, prices, texts
from inventory.services.measurings import Measured
from inventory.services.receipt_acts import ReceiptLineAct
from projects.access import scope
from projects.access.actor import Actor
from projects.errors import Refused

CM3_PER_M3 = 1_000_000


class OtherOrder(Refused):
    """The order, or its line, is of another supplier, site or material."""

    code = "other_order"


class AbsurdQuantity(Refused):
    """More than a vehicle can carry."""

    code = "absurd_quantity"


@dataclass(frozen=True)
class Frame:
    """What all lines of a delivery have in common; the profile is read when a line first asks for it."""

    actor: Actor
    receipt: Receipt
    order_lines: dict[int, OrderLine]
    on_date: date
    profile: Callable[[], Profile]


@dataclass(frozen=True)
class Checked:
    """A line with the checks that were made of it."""

    line: ReceiptLine
    checks: list[ReceiptCheck]


def of(line: ReceiptLineAct, *, position: int, frame: Frame) -> Checked:
    """Make the row of a line and of its checks; what does not pass them is held.

    Refused are a material that is not kept, figures that cannot be (`loads`, `measurings`), more than a
    vehicle carries (`absurd_quantity`), a lot that contradicts a known one, and another order's line.
    """
    receipt = frame.receipt
    material = scope.get(Material.objects.all(), frame.actor, pk=line.material_id)
    measures.require_stocked(material)
    pack = None if line.pack_id is None else scope.get(Pack.objects.all(), frame.actor, pk=line.pack_id)
    measured = measurings.settled(line, material=material, pack=pack, profile=frame.profile)
    said = measured.line
    load = loads.of(said, material=material, pack=pack, measure=measured.measure)
    _require_carried(load, measured=measured, material=material, pack=pack, frame=frame)
    told_apart = load.measured_mg_per_mm or load.bar_length_mm
    order_line = _order_line(line, material=material, frame=frame)
    row = ReceiptLine(
        position=position,
        order_line=order_line,
        material=material,
        pack=pack,
        lot=lots.of_delivery(
            material,
            supplier=receipt.supplier,
            label=line.lot_label or (receipt.note_number or receipt.number if told_apart else ""),
            made_date=line.made_date,
            on_date=frame.on_date,
            bars=lots.Bars(load.bar_length_mm, load.measured_mg_per_mm, load.implied_mg_per_mm),
        ),
        measured_in=load.measure.unit,
        stated_thousandths=load.found_thousandths
        if line.stated is None
        else measures.thousandths(line.stated, field="stated"),
        found_thousandths=load.found_thousandths,
        rejected_thousandths=load.rejected_thousandths,
        reject_reason=texts.fitting(line.reject_reason, most=200, field="reject_reason"),
        stock_per_unit=load.measure.stock_per_unit,
        conversion_source=load.measure.source[:200],
        accepted=load.accepted,
        mass_g=load.mass_g,
        bars=load.bars,
        value_minor=_value(load, material=material, order_line=order_line, frame=frame),
        **_measurement(measured, load=load),
    )
    return _checked(line, row=row, frame=frame)


def _checked(line: ReceiptLineAct, *, row: ReceiptLine, frame: Frame) -> Checked:
    """Judge what came by its checks; what does not pass, or is to wait, is held in whole."""
    stamp = checks.Stamp(person_id=frame.actor.person_id, at=frame.receipt.recorded_at)
    rows = [
        *checks.rows(line.checks, material=row.material, profile=frame.profile, stamp=stamp),
        *checks.of_sample(row, profile=frame.profile, stamp=stamp),
    ]
    reason = texts.fitting(line.hold_reason, most=200, field="hold_reason") or checks.why_held(rows)
    if reason and row.accepted:
        row.held, row.hold_reason = row.accepted, reason
    return Checked(row, rows)


def _measurement(measured: Measured, *, load: loads.Load) -> dict[str, object]:
    """What is kept of how a line was measured; its dry equivalent is that of what was accepted."""
    ticket = measured.ticket
    facts: dict[str, object] = {
        "method": measured.method,
        "readings": measured.readings,
        "working": measured.working,
        "bulking_thousandths": _thousandths(measured.bulking),
        "moisture_thousandths": _thousandths(measured.moisture),
        "batched_at": ticket.batched_at if ticket else None,
        "arrived_at": ticket.arrived_at if ticket else None,
        "discharged_at": ticket.discharged_at if ticket else None,
    }
    if measured.bulking is not None:
        dry = moisture.dry_volume(Fraction(load.accepted), bulking=measured.bulking)
        facts["dry_equivalent"] = round(dry)
    return facts


def _thousandths(percent: Fraction | None) -> int | None:
    return None if percent is None else round(percent * 1_000)


def _require_carried(
    load: loads.Load, *, measured: Measured, material: Material, pack: Pack | None, frame: Frame
) -> None:
    """Refuse a loose load that no truck carries; a number of packs may be many trucks."""
    loose = material.stock_unit == "cm3" and material.show_factor == CM3_PER_M3
    counted = pack is not None and measured.volume is None
    if not loose or counted:
        return
    found = Fraction(load.found_thousandths * load.measure.stock_per_unit, 1_000_000 * CM3_PER_M3)
    bound = frame.profile().value("receiving.truck.most")
    if found <= bound.value:
        return
    message = _(
        "%(found)s m³ in one load: a truck carries at most %(most)s m³ (%(source)s). "
        "Measure again, or record each truck as a receipt of its own."
    )
    params = {"found": f"{float(found):g}", "most": f"{bound.value:g}", "source": bound.citation}
    raise AbsurdQuantity(message % params, field="found", most=bound.value)


def _order_line(line: ReceiptLineAct, *, material: Material, frame: Frame) -> OrderLine | None:
    if line.order_line_id is None:
        return None
    found = frame.order_lines.get(line.order_line_id)
    if found is None or found.material_id != material.pk:
        message = _("The order has no such line of %(material)s. Choose another line, or none.")
        raise OtherOrder(message % {"material": material.name}, field="order_line_id")
    return found


def _value(load: loads.Load, *, material: Material, order_line: OrderLine | None, frame: Frame) -> int:
    """Value what was accepted; what has neither order, offer nor rate comes in at nothing, and shows it."""
    if order_line is not None:
        price: prices.Price | None = prices.ordered(order_line)
    else:
        price = prices.known(material, supplier=frame.receipt.supplier, on_date=frame.on_date)
    if price is None:
        return 0
    return measures.bounded(price.value(load.accepted, mass_g=load.mass_g), field="found")


def by_readings(line: ReceiptLineAct) -> bool:
    """Say whether what was found of a line is yet to follow from its readings."""
    act = line.measurement
    return act is not None and act.method not in {methods.COUNTED.code, methods.TICKET.code}
