"""The bill of quantities: every line with its derivation, its allowance and its order apart."""

import hashlib
import math
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any, Final

from estimates.calc import allowances, concrete, joints
from estimates.calc import packs as packing
from estimates.calc.concrete import Beside
from estimates.calc.derivation import Input, Quantity, carried
from estimates.calc.formwork import contact, hire, measured
from estimates.calc.formwork.contact import Contact
from estimates.calc.geometry import pours, slab
from estimates.calc.geometry.solid import Solid
from estimates.calc.mix import constituents, yields
from estimates.calc.packs import PackSize
from estimates.calc.reading import reader as sheets
from estimates.calc.sheet.mix import DesignedMix
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.steel import fabric, schedule, spacers
from estimates.calc.steel import lines as steel_lines
from estimates.calc.works import lines as works
from estimates.calc.works import supply
from estimates.standards.load import Profile

_STATED: Final = Input(0.0, "%", "stated only, not bought")


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line: net, expected loss, order rounded up to the pack; `material` only when it is bought."""

    key: str
    member: str
    title: str
    material: str | None
    net: float
    allowance: float
    order: float
    unit: str
    pack: PackSize | None
    method: str
    source: str
    inputs: Mapping[str, Input]
    formula: str
    allowance_percent: Input
    packs: int | None
    surplus: float

    @property
    def needed(self) -> float:
        """Net and allowance together, unrounded: what budgets and requirements pass on [`unit`]."""
        return self.net + self.allowance

    def as_dict(self) -> dict[str, Any]:
        """The line as plain data, for JSON."""
        return asdict(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOff:
    """All lines of a slab, with the digest of its sheet and the profile and edition they follow."""

    sheet: str
    profile: str
    edition: str
    standards: str
    slab_area_m2: float
    concrete_m3: float
    lines: tuple[Line, ...]

    def line(self, key: str) -> Line:
        """The line under a key. Raises: KeyError: the bill has no such line."""
        return {line.key: line for line in self.lines}[key]

    def as_dict(self) -> dict[str, Any]:
        """The whole take-off as plain data, for JSON."""
        return asdict(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """A line that two take-offs state differently; a side without the line is None."""

    key: str
    unit: str
    before: float | None
    after: float | None

    @property
    def change(self) -> float:
        """What came in (positive) or fell away (negative), net [`unit`]; a missing side counts as nothing."""
        return (self.after if self.after is not None else 0.0) - (
            self.before if self.before is not None else 0.0
        )


def compute(sheet: DesignSheet, *, profile: Profile, packs: Mapping[str, PackSize] | None = None) -> TakeOff:
    """Takes off a slab: concrete, constituents, formwork, steel, and what follows from them.

    Source: each line names its own; derived: order = net + allowance, rounded up to the pack.

    Args:
        sheet: the design sheet, as its reader accepted it.
        profile: the standards profile.
        packs: packs by code of the material or of its kind; left out: the profile's.

    Returns:
        The lines in the order of the work: concrete, its constituents, formwork, steel, curing.

    Raises:
        ValueError: the profile lacks the sheet's mix method or a bar size, or a pack is in another unit.
    """
    solid = slab.of_sheet(sheet)
    sold = packing.defaults(profile) if packs is None else packs
    found = tuple(_quantities(sheet, solid=solid, profile=profile))
    percents = {
        kind: allowances.percent(kind, sheet=sheet, profile=profile) for kind in allowances.kinds(profile)
    }
    return TakeOff(
        sheet=digest(sheet),
        profile=profile.id,
        edition=profile.edition,
        standards=profile.digest,
        slab_area_m2=solid.area_mm2 / 1e6,
        concrete_m3=next(item.net for item in found if item.key == "concrete.net"),
        lines=tuple(_line(item, percents=percents, packs=sold) for item in found),
    )


def digest(sheet: DesignSheet) -> str:
    """A fingerprint of a design sheet: the same for the same design, whatever way it came in.

    Source: derived: SHA-256 of the sheet as `sheet.to_json` writes it.

    Args:
        sheet: the design sheet.

    Returns:
        64 hexadecimal digits.
    """
    return hashlib.sha256(sheets.to_json(sheet).encode()).hexdigest()


def compare(before: TakeOff, *, after: TakeOff) -> tuple[Difference, ...]:
    """Sets two take-offs side by side, line by line.

    Source: derived: lines are matched by key; a line counts as the same when net and unit are.

    Args:
        before: the earlier take-off.
        after: the later one.

    Returns:
        The lines that differ, in the order of the later take-off, then those that fell away.
    """
    old, new = ({line.key: line for line in side.lines} for side in (before, after))
    gone = [key for key in old if key not in new]
    pairs = [(key, old.get(key), new.get(key)) for key in (*new, *gone)]
    return tuple(_difference(key, was=was, now=now) for key, was, now in pairs if not _same(was, now))


def _same(was: Line | None, now: Line | None) -> bool:
    return was is not None and now is not None and (was.net, was.unit) == (now.net, now.unit)


def _difference(key: str, *, was: Line | None, now: Line | None) -> Difference:
    units = {line.unit for line in (was, now) if line is not None}
    before, after = (line.net if line is not None else None for line in (was, now))
    return Difference(key=key, unit=" → ".join(sorted(units)), before=before, after=after)


def _quantities(sheet: DesignSheet, *, solid: Solid, profile: Profile) -> Iterator[Quantity]:
    beside = Beside(flights=sheet.flights, sunshades=sheet.sunshades)
    poured = concrete.quantities(solid, profile=profile, beside=beside)
    yield from poured
    net = carried(poured[-1])
    yield from _concrete(sheet, net=net, profile=profile)
    formed = contact.quantities(solid, profile=profile, with_=_contact(sheet, solid=solid, beside=beside))
    yield from formed
    lines = {item.key: item for item in (*poured, *formed)}
    yield from measured.quantities(sheet, solid=solid, net=lines, profile=profile)
    yield from hire.quantities(sheet.falsework)
    area = concrete.slab_area(solid)
    bars = schedule.compute(sheet, profile=profile)
    yield from steel_lines.quantities(bars, area=area, wire_method=sheet.steel_methods.wire, profile=profile)
    yield from spacers.cover_blocks(sheet, slab=area, profile=profile)
    yield from joints.quantities(sheet, profile=profile)
    yield from fabric.quantities(sheet, profile=profile)
    yield from works.quantities(
        sheet,
        concrete=net,
        formwork=carried(formed[-1]),
        slab=area,
        profile=profile,
    )


def _concrete(sheet: DesignSheet, *, net: Input, profile: Profile) -> Iterator[Quantity]:
    """The constituents, or ready-mixed concrete with the constituents as information."""
    made = constituents.quantities(sheet.mix, concrete=net, profile=profile)
    bought_ready = sheet.supply is not None and sheet.supply.kind == "ready_mixed"
    if bought_ready:
        yield supply.ready_mixed(net)
    if sheet.supply is not None and (bought_ready or sheet.supply.truck_m3 is not None):
        loss = allowances.percent("ready-mixed", sheet=sheet, profile=profile)
        yield supply.loads(net, supply=sheet.supply, loss=loss, profile=profile)
    yield from supply.stated_only(made) if bought_ready else made
    if not isinstance(sheet.mix, DesignedMix):
        yield yields.implied(sheet.mix, found=made, profile=profile)


def _contact(sheet: DesignSheet, *, solid: Solid, beside: Beside) -> Contact:
    parts = pours.divide(solid, joints=sheet.construction_joints, beams=sheet.beams)
    return Contact(
        beside=beside,
        overhangs=slab.overhangs(sheet),
        existing=sheet.existing_joints,
        stop_ends_mm2=math.fsum(part.stop_end_mm2 for part in parts),
    )


def _line(item: Quantity, *, percents: Mapping[str, Input], packs: Mapping[str, PackSize]) -> Line:
    net = item.net
    percent = percents[item.kind] if item.kind is not None else _STATED
    allowance = net * percent.value / 100
    pack = packing.of(item, packs=packs)
    order = packing.rounded_up(net + allowance, pack=pack) if pack is not None else None
    return Line(
        key=item.key,
        member=item.member,
        title=item.title,
        material=item.material,
        net=net,
        allowance=allowance,
        order=net + allowance if order is None else order.quantity,
        unit=item.unit,
        pack=pack,
        method=item.method,
        source=item.source,
        inputs=item.inputs,
        formula=item.formula,
        allowance_percent=percent,
        packs=None if order is None else order.packs,
        surplus=0.0 if order is None else order.surplus,
    )
