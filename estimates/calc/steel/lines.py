"""Lines of the bill for the bar schedule: by mark, by size, in all, and the wire that ties it."""

from estimates.calc.derivation import Input, Quantity, carried
from estimates.calc.sheet.types import WireMethod
from estimates.calc.steel import spacers, wire
from estimates.calc.steel.marks import Mark
from estimates.calc.steel.schedule import Schedule, SizeTotal
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile


def quantities(
    schedule: Schedule, *, area: Input, wire_method: WireMethod | None, profile: Profile
) -> tuple[Quantity, ...]:
    """Steel by mark and by size, its sum and the binding wire.

    Source: the schedule's own derivations; masses by the standard's bar table.

    Args:
        schedule: the bar schedule worked out.
        area: the slab's area in plan [m²], for wire by area.
        wire_method: the sheet's way to reckon binding wire, None for the profile's.
        profile: the standards profile.

    Returns:
        `steel.mark.<mark>`, `steel.size.<mm>`, `steel.total`, `steel.binding_wire` [kg], and
        `steel.coupler.<mm>` [no.]; none without bars.
    """
    if not schedule.sizes:
        return ()
    sizes = [_size(total, profile=profile) for total in schedule.sizes]
    total = Quantity(
        key="steel.total",
        member="",
        title=gettext_noop("Steel, all sizes"),
        unit="kg",
        formula=" + ".join(f"size_{item.size_mm}" for item in schedule.sizes),
        inputs={
            f"size_{item.size_mm}": carried(line) for item, line in zip(schedule.sizes, sizes, strict=True)
        },
        method="sum of the sizes",
        source="bar schedule",
    )
    by_diameter = {
        profile.bar(item.size_mm).diameter_mm: line for item, line in zip(schedule.sizes, sizes, strict=True)
    }
    tied = wire.quantity(total, sizes=by_diameter, area=area, method=wire_method, profile=profile)
    joined = spacers.couplers(schedule, profile=profile)
    return (*(_mark(mark, profile=profile) for mark in schedule.marks), *sizes, *joined, total, tied)


def _mark(mark: Mark, *, profile: Profile) -> Quantity:
    return Quantity(
        key=f"steel.mark.{mark.mark}",
        member=mark.member,
        title=f"Bars {mark.mark}, {profile.bar(mark.size_mm).designation}",
        unit="kg",
        formula=mark.formula,
        inputs=mark.inputs,
        method=mark.method,
        source=mark.source,
    )


def _size(total: SizeTotal, *, profile: Profile) -> Quantity:
    inputs: dict[str, Input] = dict(total.inputs)
    return Quantity(
        key=f"steel.size.{total.size_mm}",
        member="",
        title=f"Steel {profile.bar(total.size_mm).designation}, {total.grade}",
        unit="kg",
        formula=total.formula,
        inputs=inputs,
        method=total.method,
        source=total.source,
        material=f"steel-{total.size_mm}",
        kind="steel",
    )
