"""A design worked out and priced, not yet frozen: what the preview shows and what issuing a bill freezes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from django.db.models import QuerySet

from estimates.calc import bill, money, stock
from estimates.calc import packs as packing
from estimates.calc.bill import Line, TakeOff
from estimates.calc.reading.reader import DesignSheet
from estimates.models import Design, Material, Pack, Rate
from estimates.queries import designs, standards
from estimates.queries.unworkable import UNWORKABLE, Unworkable
from estimates.standards.values import Profile
from projects.access import scope
from projects.access.actor import Actor

T = TypeVar("T")


@dataclass(frozen=True, kw_only=True)
class PricedLine:
    """A line of the take-off, in the firm's material and at its rate where it is bought."""

    line: Line
    material: Material | None = None
    net: int | None = None
    allowance: int | None = None
    rate: Rate | None = None
    amount_minor: int | None = None


@dataclass(frozen=True, kw_only=True)
class Priced:
    """A take-off with what could be priced of it, and what stands in the way of the rest."""

    design: Design
    sheet: DesignSheet
    profile: Profile
    takeoff: TakeOff
    lines: tuple[PricedLine, ...]
    as_of: date
    no_material: tuple[str, ...]
    no_rate: tuple[Material, ...]

    @property
    def total_minor(self) -> int:
        """The sum of the priced lines; the bill's total when nothing stands in the way."""
        return sum(row.amount_minor for row in self.lines if row.amount_minor is not None)

    @property
    def complete(self) -> bool:
        """Whether every bought line has its material and its rate."""
        return not self.no_material and not self.no_rate


def priced(actor: Actor, *, design_id: int, as_of: date) -> Priced:
    """Work out a visible design with the firm's packs, priced at the rates of the day; writes nothing.

    Refused with NotFound when it is not the actor's, with Unworkable when it cannot be worked out today.
    """
    design = scope.get(
        Design.objects.select_related("slab__site__firm", "drawing", "created_by"), actor, pk=design_id
    )
    return of_design(actor, design=design, as_of=as_of)


def of_design(actor: Actor, *, design: Design, as_of: date) -> Priced:
    """Work out a design already loaded, with the firm's packs and the rates of the day."""
    sheet = designs.sheet_of(design)
    kept = list(scope.visible(Material.objects.prefetch_related("packs"), actor).order_by("code", "id"))
    firm = _Kept(kept, grade=sheet.steel_grade)
    profile = standards.of_firm(actor, profile_id=sheet.profile)
    takeoff = _worked_out(sheet, profile=profile, packs=firm.packs())
    rates = rates_on(actor, day=as_of)
    lines = tuple(_priced(line, material=firm.find(line.material), rates=rates) for line in takeoff.lines)
    return Priced(
        design=design,
        sheet=sheet,
        profile=profile,
        takeoff=takeoff,
        lines=lines,
        as_of=as_of,
        no_material=_once(_named(row.line, sheet=sheet) for row in lines if _lacks_material(row)),
        no_rate=_once(row.material for row in lines if row.material is not None and row.rate is None),
    )


def _worked_out(sheet: DesignSheet, *, profile: Profile, packs: Mapping[str, packing.PackSize]) -> TakeOff:
    try:
        return bill.compute(sheet, profile=profile, packs=packs)
    except ValueError as fault:
        raise Unworkable(UNWORKABLE % {"why": str(fault)}) from None


def rates_on(actor: Actor, *, day: date) -> dict[int, Rate]:
    """Return the rate of each of the firm's materials that holds on a day, by material."""
    rows: QuerySet[Rate] = scope.visible(Rate.objects.all(), actor).filter(from_date__lte=day)
    return {row.material_id: row for row in rows.order_by("from_date", "id")}


def usual_pack(material: Material) -> Pack | None:
    """Return the pack in which a material is usually bought: the first one that was entered."""
    return min(material.packs.all(), key=lambda pack: pack.pk, default=None)


class _Kept:
    """The firm's materials as the lines of one design name them: by code, bars by size and grade."""

    def __init__(self, kept: Iterable[Material], *, grade: str) -> None:
        self._rows: dict[str, Material] = {}
        for row in kept:
            if row.size_mm is None:
                self._rows[row.code] = row
            elif row.grade == grade:
                self._rows[f"steel-{row.size_mm}"] = row

    def find(self, code: str | None) -> Material | None:
        """The material of a line; None when the line is not bought or the firm does not keep it."""
        return None if code is None else self._rows.get(code)

    def packs(self) -> dict[str, packing.PackSize]:
        """The usual pack of each material, by the code that lines use."""
        usual = {code: (usual_pack(row), row) for code, row in self._rows.items()}
        return {
            code: _pack_size(pack, material=row) for code, (pack, row) in usual.items() if pack is not None
        }


def _pack_size(pack: Pack, *, material: Material) -> packing.PackSize:
    return packing.PackSize(pack.name, pack.content / material.show_factor, material.show_unit, pack.source)


def _priced(line: Line, *, material: Material | None, rates: Mapping[int, Rate]) -> PricedLine:
    if material is None:
        return PricedLine(line=line)
    net = _stock_units(line.net, line=line, material=material)
    allowance = _stock_units(line.net + line.allowance, line=line, material=material) - net
    rate = rates.get(material.pk)
    return PricedLine(
        line=line,
        material=material,
        net=net,
        allowance=allowance,
        rate=rate,
        amount_minor=None if rate is None else amount(net + allowance, material=material, rate=rate),
    )


def amount(quantity: int, *, material: Material, rate: Rate) -> int:
    """Price stock units of a material at its landed rate, in minor units, rounded once and half to even."""
    if rate.per == Rate.Per.KILOGRAM:
        mass = material.nominal_mg_per_mm
        per = money.stock_per("kg", stock_unit=material.stock_unit, grams_per_metre=mass)
        return money.amount(quantity, rate=rate.landed, per=per)
    return money.amount(quantity, rate=rate.landed, per=material.show_factor)


def _stock_units(quantity: float, *, line: Line, material: Material) -> int:
    return stock.units(
        quantity,
        unit=line.unit,
        stock_unit=material.stock_unit,
        milligrams_per_millimetre=material.nominal_mg_per_mm,
    )


def _lacks_material(row: PricedLine) -> bool:
    return row.line.material is not None and row.material is None


def _named(line: Line, *, sheet: DesignSheet) -> str:
    code = line.material or line.key
    return f"{code} {sheet.steel_grade}" if code.startswith("steel-") else code


def _once(rows: Iterable[T]) -> tuple[T, ...]:
    return tuple(dict.fromkeys(rows))
