"""Open orders, unpaid bills and half-cast slabs as the sheets of an opening give them, line by line."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import partial
from typing import Final, TypeVar

from inventory.calc import opening_table
from inventory.calc.opening_table import MOST_ROWS, Bad

T = TypeVar("T")
Rows = Sequence[tuple[int, Sequence[str]]]

STOCK: Final = "Opening stock"
ORDERS: Final = "Open orders"
BILLS: Final = "Unpaid bills"
SLABS: Final = "Slabs in progress"
"""Names of the sheets; not translated, so that every workbook reads back."""

HEADS: Final[Mapping[str, tuple[str, ...]]] = {
    ORDERS: (
        *("Order", "Supplier", "Ordered on", "Expected on", "Material", "Pack"),
        *("Packs ordered", "Packs delivered", "Price of a pack", "Slab", "Pour"),
    ),
    BILLS: ("Supplier", "Number", "Dated", "Amount", "Paid so far", "Due on"),
    SLABS: ("Slab", "Pour", "Material", "Unit", "Amount used", "Value"),
}
_PRICE_PLACES: Final = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """The firm's names, in small letters.

    Args:
        units: units by material.
        packs: packs by material.
        suppliers: suppliers.
        pours: pours of the site by slab.
        currency_places: decimals of the currency.
    """

    units: Mapping[str, Sequence[str]]
    packs: Mapping[str, Sequence[str]]
    suppliers: Sequence[str]
    pours: Mapping[str, Sequence[str]]
    currency_places: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """A line of an order: names in small letters, the price in 1/10,000 minor unit."""

    line: int
    number: str
    supplier: str
    ordered: date
    expected: date
    material: str
    pack: str
    packs: int
    before: int
    price: int
    slab: str
    pour: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BillLine:
    """An unpaid bill, in minor units; without a due date the supplier's days of credit count."""

    line: int
    supplier: str
    number: str
    dated: date
    total: int
    paid: int
    due: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class UsedLine:
    """What a pour had used of a material, and its cost in minor units."""

    line: int
    slab: str
    pour: str
    material: str
    unit: str
    amount: Decimal
    value: int


class _Cells:
    """The cells of a line, read one after the other; what is wrong is kept with its column."""

    def __init__(self, at: int, cells: Sequence[str], *, sheet: str) -> None:
        self.at, self.sheet = at, sheet
        self.heads = HEADS[sheet]
        self.cells = dict(zip(self.heads, [*cells, *[""] * len(self.heads)], strict=False))
        self.bad: list[Bad] = []

    def wrong(self, head: str, code: str, said: str) -> None:
        self.bad.append(Bad(sheet=self.sheet, line=self.at, column=head, code=code, message=said))

    def text(self, head: str) -> str:
        if not self.cells[head]:
            self.wrong(head, "missing", f"fill in {head.lower()}")
        return self.cells[head]

    def name(self, head: str, among: Sequence[str] | Mapping[str, object], *, of: str) -> str:
        found = self.cells[head].casefold()
        if found not in among:
            said = f"“{self.cells[head]}” is none of {of}; choose from the list"
            self.wrong(head, f"unknown_{head.lower()}", said)
        return found

    def day(self, head: str, *, empty: bool = False) -> date | None:
        found = opening_table.day_of(self.cells[head])
        if found is None and not (empty and not self.cells[head]):
            self.wrong(head, "bad_day", f"“{self.cells[head]}” is no day; write it as 2026-03-31")
        return found

    def whole(self, head: str, *, empty: int | None = None) -> int:
        typed = self.cells[head]
        if not typed and empty is not None:
            return empty
        if not (typed.isascii() and typed.isdigit() and len(typed) <= 7):
            self.wrong(head, "bad_figure", f"“{typed}” is no whole number of packs; write 12")
            return 0
        return int(typed)

    def amount(self, head: str) -> Decimal:
        found = opening_table.decimal_of(self.cells[head], form=opening_table.FIGURE)
        if not found:
            said = f"“{self.cells[head]}” is no amount above 0 with at most 3 decimals; write 12 or 12.5"
            self.wrong(head, "bad_figure", said)
        return found or Decimal(0)

    def money(self, head: str, *, places: int, empty: int | None = None) -> int:
        if not self.cells[head] and empty is not None:
            return empty
        found = opening_table.minor_of(self.cells[head], places=places)
        if found is None:
            said = f"“{self.cells[head]}” is no value of 0 or more with at most {places} decimals"
            self.wrong(head, "bad_value", said)
        return found or 0

    def pour(self, known: Known, *, needed: bool) -> tuple[str, str]:
        """Read a slab and its pour; a slab with one pour needs no name of it."""
        if not needed and not self.cells["Slab"] and not self.cells["Pour"]:
            return "", ""
        slab = self.name("Slab", known.pours, of="the slabs of this site")
        pours = known.pours.get(slab, ())
        if slab in known.pours and not pours:
            said = f"{self.cells['Slab']} has no pour yet; plan its pour first"
            self.wrong("Slab", "no_pour", said)
        if not self.cells["Pour"] and len(pours) == 1:
            return slab, pours[0]
        if pours:
            return slab, self.name("Pour", pours, of=f"its pours: {', '.join(pours)}")
        return slab, ""


def orders(rows: Rows, *, known: Known) -> tuple[tuple[OrderLine, ...], tuple[Bad, ...]]:
    """Read the open orders: lines of one supplier and number are one order and agree on its days.

    Source: derived: names are the firm's own, days YYYY-MM-DD, packs whole.

    Args:
        rows: line numbers and cells as text, the line of heads among them.
        known: what may stand in the lines.

    Returns:
        The good lines and the faults; only a workbook without faults is to be taken in.

    >>> known = Known(units={}, packs={"cement": ("bag",)}, suppliers=("karsa",), pours={}, currency_places=2)
    >>> line = ("K-7", "Karsa", "2026-04-20", "2026-05-06", "Cement", "bag", "200", "120", "410.50")
    >>> good, bad = orders([(3, HEADS[ORDERS]), (4, line)], known=known)
    >>> (good[0].packs, good[0].before, good[0].price, bad)
    (200, 120, 410500000, ())
    """
    good, bad = _read(rows, sheet=ORDERS, line=partial(_order, known=known))
    return good, (*bad, *_disagreeing(good))


def bills(rows: Rows, *, known: Known) -> tuple[tuple[BillLine, ...], tuple[Bad, ...]]:
    """Read the unpaid bills.

    Source: derived: as for `orders`.

    Args:
        rows: line numbers and cells as text, the line of heads among them.
        known: what may stand in the lines.

    Returns:
        The good lines and the faults.

    >>> known = Known(units={}, packs={}, suppliers=("karsa",), pours={}, currency_places=2)
    >>> rows = [(3, HEADS[BILLS]), (4, ("Karsa", "K-311", "2026-04-02", "41000", "50000", ""))]
    >>> bills(rows, known=known)[1][0].code
    'nothing_owed'
    """
    return _read(rows, sheet=BILLS, line=partial(_bill, known=known))


def used(rows: Rows, *, known: Known) -> tuple[tuple[UsedLine, ...], tuple[Bad, ...]]:
    """Read what slabs in progress had used.

    Source: derived: as for `orders`.

    Args:
        rows: line numbers and cells as text, the line of heads among them.
        known: what may stand in the lines.

    Returns:
        The good lines and the faults.

    >>> known = Known(units={"cement": ("bag",)}, packs={}, suppliers=(), pours={"roof": ("north", "south")},
    ...               currency_places=2)
    >>> rows = [(3, HEADS[SLABS]), (4, ("Roof", "", "Cement", "bag", "60", "24000"))]
    >>> [(one.column, one.code) for one in used(rows, known=known)[1]]
    [('Pour', 'unknown_pour')]
    """
    return _read(rows, sheet=SLABS, line=partial(_used, known=known))


def _order(cells: _Cells, *, known: Known) -> OrderLine | None:
    number = cells.text("Order")
    supplier = cells.name("Supplier", known.suppliers, of="the firm's suppliers")
    ordered, expected = cells.day("Ordered on"), cells.day("Expected on")
    material = cells.name("Material", known.packs, of="the firm's materials that come in packs")
    offered = known.packs.get(material, ())
    pack = cells.cells["Pack"].casefold()
    if offered:
        pack = cells.name("Pack", offered, of=f"its packs: {', '.join(offered)}")
    packs, before = cells.whole("Packs ordered"), cells.whole("Packs delivered", empty=0)
    if not cells.bad and before >= packs:
        said = f"{before} of {packs} packs had come; leave out what has come in full"
        cells.wrong("Packs delivered", "nothing_to_come", said)
    places = known.currency_places + _PRICE_PLACES
    price = cells.money("Price of a pack", places=places)
    slab, pour = cells.pour(known, needed=False)
    if cells.bad or ordered is None or expected is None:
        return None
    return OrderLine(
        line=cells.at,
        number=number,
        supplier=supplier,
        ordered=ordered,
        expected=expected,
        material=material,
        pack=pack,
        packs=packs,
        before=before,
        price=price,
        slab=slab,
        pour=pour,
    )


def _bill(cells: _Cells, *, known: Known) -> BillLine | None:
    supplier = cells.name("Supplier", known.suppliers, of="the firm's suppliers")
    number, dated = cells.text("Number"), cells.day("Dated")
    total = cells.money("Amount", places=known.currency_places)
    paid = cells.money("Paid so far", places=known.currency_places, empty=0)
    due = cells.day("Due on", empty=True)
    if not cells.bad and paid >= total:
        cells.wrong("Paid so far", "nothing_owed", "nothing is owed on it; leave the bill out")
    if cells.bad or dated is None:
        return None
    return BillLine(
        line=cells.at, supplier=supplier, number=number, dated=dated, total=total, paid=paid, due=due
    )


def _used(cells: _Cells, *, known: Known) -> UsedLine | None:
    slab, pour = cells.pour(known, needed=True)
    material = cells.name("Material", known.units, of="the firm's materials")
    offered = known.units.get(material, ())
    unit = cells.cells["Unit"].casefold()
    if offered:
        unit = cells.name("Unit", offered, of=f"its units: {', '.join(offered)}")
    amount = cells.amount("Amount used")
    value = cells.money("Value", places=known.currency_places)
    if cells.bad:
        return None
    return UsedLine(
        line=cells.at, slab=slab, pour=pour, material=material, unit=unit, amount=amount, value=value
    )


def _read(
    rows: Rows, *, sheet: str, line: Callable[[_Cells], T | None]
) -> tuple[tuple[T, ...], tuple[Bad, ...]]:
    heads = HEADS[sheet]
    start = next((n for n, (_at, cells) in enumerate(rows) if tuple(cells[: len(heads)]) == heads), None)
    if start is None:
        message = f"no line has the heads {', '.join(heads)}; fill in the sheet that is offered here"
        return (), (Bad(sheet=sheet, line=0, column="", code="no_heads", message=message),)
    below = [(at, cells) for at, cells in rows[start + 1 :] if any(cells)]
    if len(below) > MOST_ROWS:
        message = f"the sheet has {len(below)} lines below its heads; it takes at most {MOST_ROWS}"
        return (), (Bad(sheet=sheet, line=0, column="", code="rows", message=message),)
    good, bad = [], []
    for at, typed in below:
        cells = _Cells(at, typed, sheet=sheet)
        found = line(cells)
        bad += cells.bad
        if found is not None:
            good.append(found)
    return tuple(good), tuple(bad)


def _disagreeing(lines: Sequence[OrderLine]) -> list[Bad]:
    """Tell the lines whose days differ from those of the first line of their order."""
    first: dict[tuple[str, str], OrderLine] = {}
    bad = []
    for one in lines:
        head = first.setdefault((one.supplier, one.number.casefold()), one)
        if (one.ordered, one.expected) != (head.ordered, head.expected):
            said = f"line {head.line} of the same order has other days; give the same ones"
            bad.append(Bad(sheet=ORDERS, line=one.line, column="Ordered on", code="other_days", message=said))
    return bad
