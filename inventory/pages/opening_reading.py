"""A filled workbook as the act that takes it in; every fault is told with its sheet and line."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from babel.numbers import get_currency_precision
from django.utils import timezone
from django.utils.translation import gettext as _

from estimates.calc.intake import cells, limits, xlsx_table
from estimates.calc.intake.found import Unreadable
from inventory.calc import opening_book, opening_table
from inventory.calc.opening_book import BILLS, ORDERS, SLABS, STOCK
from inventory.calc.opening_table import Bad
from inventory.pages import units
from inventory.queries import deliveries, slips
from inventory.services.opening import OpeningLineAct
from inventory.services.opening_bills import OwedBillAct
from inventory.services.opening_book import BookAct, UsedAct
from inventory.services.opening_orders import EarlierLineAct, EarlierOrderAct
from projects.queries import pours

Read = tuple[BookAct | None, tuple[Bad, ...]]
SUBJECTS = {"stock": STOCK, "orders": ORDERS, "bills": BILLS, "used": SLABS}


@dataclass(frozen=True)
class Offered:
    """What the firm has, by its names in small letters."""

    materials: dict[str, Any]
    units: dict[tuple[str, str], Any]
    packs: dict[tuple[str, str], Any]
    suppliers: dict[str, int]
    pours: dict[tuple[str, str], Any]
    places: int


@dataclass(frozen=True)
class _Lines:
    stock: tuple[opening_table.Line, ...]
    orders: tuple[opening_book.OrderLine, ...]
    bills: tuple[opening_book.BillLine, ...]
    used: tuple[opening_book.UsedLine, ...]


def offered(actor: Any, *, site_id: int) -> Offered:
    """Gather the names that may stand in a workbook of the site."""
    kept = slips.kept_materials(actor)
    return Offered(
        materials={row.name.casefold(): row for row in kept},
        units={
            (row.name.casefold(), unit.name.casefold()): unit for row in kept for unit in units.choices(row)
        },
        packs={(row.name.casefold(), pack.name.casefold()): pack for row in kept for pack in row.packs.all()},
        suppliers={
            row.name.casefold(): row.pk for row in deliveries.suppliers(actor, today=timezone.localdate())
        },
        pours={
            (row.slab.name.casefold(), row.name.casefold()): row
            for row in pours.of_site(actor, site_id=site_id)
        },
        places=get_currency_precision(actor.currency),
    )


def read(actor: Any, *, site_id: int, content: bytes) -> Read:
    """Read a workbook: the act, or every fault of every sheet."""
    if len(content) > limits.FILE_BYTES:
        message = _("The file is larger than %(most)s bytes; send the sheets alone.")
        return None, (_of_file("too_large", message % {"most": limits.FILE_BYTES}),)
    try:
        tables = {table.name: table for table in xlsx_table.read(content)}
    except Unreadable as unreadable:
        return None, tuple(_told(one) for one in unreadable.faults)
    known = offered(actor, site_id=site_id)
    lines, bad = _lines(tables, known=known)
    if bad:
        return None, bad
    if not (lines.stock or lines.orders or lines.bills or lines.used):
        return None, (_of_file("rows", _("No sheet has a line below its heads. Fill in what there is.")),)
    return _act(lines, site_id=site_id, known=known), ()


def place_of(refused: Any) -> str:
    """Say to which sheet a refusal belongs."""
    return SUBJECTS.get(str(refused.params.get("subject", "")), "")


def _lines(tables: dict[str, Any], *, known: Offered) -> tuple[_Lines, tuple[Bad, ...]]:
    names = opening_book.Known(
        units=_grouped(known.units),
        packs=_grouped(known.packs),
        suppliers=tuple(known.suppliers),
        pours=_grouped(known.pours),
        currency_places=known.places,
    )
    first = opening_table.Known(
        units=names.units, suppliers=names.suppliers, currency_places=names.currency_places
    )
    bad: list[Bad] = []

    def of(name: str, reader: Callable[..., tuple[tuple[Any, ...], tuple[Bad, ...]]], said: Any) -> Any:
        table = tables.get(name)
        if table is None:
            return ()
        rows = [(row.line, [cells.text_of(cell) for cell in row.cells]) for row in table.rows]
        good, wrong = reader(rows, known=said)
        bad.extend(_on(name, [*(_told(one) for one in table.faults), *wrong]))
        return good

    if STOCK not in tables and not set(tables) & set(opening_book.HEADS):
        # A workbook of other sheets is held against the first of ours, whose heads the fault then names.
        tables = {STOCK: next(iter(tables.values()), cells.Table(name=STOCK, rows=()))}
    lines = _Lines(
        stock=of(STOCK, opening_table.read, first),
        orders=of(ORDERS, opening_book.orders, names),
        bills=of(BILLS, opening_book.bills, names),
        used=of(SLABS, opening_book.used, names),
    )
    return lines, tuple(bad)


def _act(lines: _Lines, *, site_id: int, known: Offered) -> BookAct:
    return BookAct(
        site_id=site_id,
        stock=tuple(_stock(one, known=known) for one in lines.stock),
        orders=_orders(lines.orders, site_id=site_id, known=known),
        bills=tuple(
            OwedBillAct(
                supplier_id=known.suppliers[one.supplier],
                number=one.number,
                dated=one.dated,
                total_minor=one.total,
                paid_minor=one.paid,
                due_date=one.due,
            )
            for one in lines.bills
        ),
        used=_used(lines.used, known=known),
    )


def _stock(one: opening_table.Line, *, known: Offered) -> OpeningLineAct:
    return OpeningLineAct(
        material_id=known.materials[one.material].pk,
        amount=one.amount,
        value_minor=one.value_minor,
        supplier_id=known.suppliers.get(one.supplier),
        lot_label=one.lot,
        made_date=one.made,
        **known.units[one.material, one.unit].act,
    )


def _orders(
    lines: Sequence[opening_book.OrderLine], *, site_id: int, known: Offered
) -> tuple[EarlierOrderAct, ...]:
    """Put the lines of one supplier and number together as one order."""
    together: defaultdict[tuple[str, str], list[opening_book.OrderLine]] = defaultdict(list)
    for one in lines:
        together[one.supplier, one.number.casefold()].append(one)
    return tuple(
        EarlierOrderAct(
            site_id=site_id,
            supplier_id=known.suppliers[listed[0].supplier],
            number=listed[0].number,
            ordered_date=listed[0].ordered,
            expected_date=listed[0].expected,
            lines=tuple(_ordered(one, known=known) for one in listed),
        )
        for listed in together.values()
    )


def _ordered(one: opening_book.OrderLine, *, known: Offered) -> EarlierLineAct:
    return EarlierLineAct(
        material_id=known.materials[one.material].pk,
        pack_id=known.packs[one.material, one.pack].pk,
        packs=one.packs,
        packs_before=one.before,
        pack_price=one.price,
        pour_id=known.pours[one.slab, one.pour].pk if one.slab else None,
    )


def _used(lines: Sequence[opening_book.UsedLine], *, known: Offered) -> tuple[UsedAct, ...]:
    """Put the lines of one pour together."""
    together: defaultdict[int, list[OpeningLineAct]] = defaultdict(list)
    for one in lines:
        act = OpeningLineAct(
            material_id=known.materials[one.material].pk,
            amount=one.amount,
            value_minor=one.value,
            **known.units[one.material, one.unit].act,
        )
        together[known.pours[one.slab, one.pour].pk].append(act)
    return tuple(UsedAct(pour_id=pk, lines=tuple(acts)) for pk, acts in together.items())


def _grouped(pairs: dict[tuple[str, str], Any]) -> dict[str, tuple[str, ...]]:
    found: defaultdict[str, list[str]] = defaultdict(list)
    for first, second in pairs:
        found[first].append(second)
    return {first: tuple(second) for first, second in found.items()}


def _on(sheet: str, faults: Sequence[Bad]) -> list[Bad]:
    return [
        Bad(sheet=sheet, line=one.line, column=one.column, code=one.code, message=one.message)
        for one in faults
    ]


def _told(fault: Any) -> Bad:
    return Bad(line=fault.line, column=fault.column, code=fault.code, message=fault.message)


def _of_file(code: str, message: str) -> Bad:
    return Bad(line=0, column="", code=code, message=message)
