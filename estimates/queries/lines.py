"""A line of a bill as pages, paper and CSV show it, whether frozen or only worked out."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from estimates.calc import stock
from estimates.models import BillLine, Material, Rate
from estimates.queries.takeoffs import PricedLine

CONCRETE, FORMWORK, STEEL, CURING = "concrete", "formwork", "steel", "curing"
CONSUMABLES, WATERPROOFING, PLANT, CREW = "consumable", "waterproofing", "plant", "crew"
GROUPS = (CONCRETE, FORMWORK, STEEL, CONSUMABLES, CURING, WATERPROOFING, PLANT, CREW)


@dataclass(frozen=True, kw_only=True)
class LineRow:
    """One line: what the drawing asks for, what is allowed, what the packs add, and what it costs.

    `net`, `allowance`, `order` and `surplus` are stock units and stand only on bought lines; `value` is
    the net quantity of any line in the line's own unit.
    """

    key: str
    group: str
    member: str
    title: str
    value: float
    unit: str
    working: Mapping[str, Any]
    material: str = ""
    shown_as: str = ""
    net: int | None = None
    allowance: int | None = None
    pack: str = ""
    pack_content: int = 0
    packs: int | None = None
    rate: int | None = None
    rate_unit: str = ""
    amount_minor: int | None = None

    @property
    def bought(self) -> bool:
        """Whether the line is bought, so that it has a budget and a dated need."""
        return self.net is not None

    @property
    def needed(self) -> int | None:
        """Net and allowance, in stock units."""
        return None if self.net is None or self.allowance is None else self.net + self.allowance

    @property
    def order(self) -> int | None:
        """What the packs hold, in stock units; the need itself where nothing is packed."""
        return self.needed if self.packs is None else self.packs * self.pack_content

    @property
    def surplus(self) -> int | None:
        """What the packs hold beyond the need, in stock units."""
        return None if self.needed is None or self.order is None else self.order - self.needed


def from_priced(row: PricedLine) -> LineRow:
    """Show a line that is worked out and not frozen."""
    derivation = row.line.as_dict()
    if row.material is None:
        return LineRow(**_plain(derivation))
    return LineRow(
        **_plain(derivation),
        **_bought(derivation, material=row.material, net=row.net, allowance=row.allowance),
        rate=None if row.rate is None else row.rate.landed,
        rate_unit=_rate_unit("" if row.rate is None else row.rate.per, material=row.material),
        amount_minor=row.amount_minor,
    )


def from_frozen(line: BillLine) -> LineRow:
    """Show a line of an issued bill, from what was frozen with it."""
    if line.material is None:
        return LineRow(**_plain(line.derivation))
    return LineRow(
        **_plain(line.derivation),
        **_bought(line.derivation, material=line.material, net=line.net, allowance=line.allowance),
        rate=line.rate,
        rate_unit=_rate_unit(line.rate_per, material=line.material),
        amount_minor=line.amount_minor,
    )


def grouped(rows: Iterable[LineRow]) -> list[tuple[str, list[LineRow]]]:
    """Sort lines into the groups of the work; groups without a line are left out."""
    kept = list(rows)
    groups = [(group, [row for row in kept if row.group == group]) for group in GROUPS]
    return [(group, members) for group, members in groups if members]


def group_of(key: str) -> str:
    """Tell the group of a line from its key."""
    head = key.split(".", maxsplit=1)[0]
    return head if head in GROUPS else CONCRETE


def _plain(derivation: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "key": derivation["key"],
        "group": group_of(derivation["key"]),
        "member": derivation["member"],
        "title": derivation["title"],
        "value": derivation["net"],
        "unit": derivation["unit"],
        "working": {**derivation, "inputs": _as_in_formula(derivation)},
    }


def _as_in_formula(derivation: Mapping[str, Any]) -> dict[str, Any]:
    """The inputs in the order in which the formula names them: a frozen line need not have kept it."""
    names = re.findall(r"[A-Za-z_]\w*", derivation["formula"])
    known = {name: derivation["inputs"][name] for name in names if name in derivation["inputs"]}
    return known | {name: value for name, value in derivation["inputs"].items() if name not in known}


def _bought(
    derivation: Mapping[str, Any], *, material: Material, net: int | None, allowance: int | None
) -> dict[str, Any]:
    found = {
        "material": material.name,
        "shown_as": "cm3:L" if material.show_unit == "L" else material.stock_unit,
        "net": net,
        "allowance": allowance,
    }
    pack = derivation["pack"]
    if pack is None or net is None or allowance is None:
        return found
    content = stock.units(
        pack["content"],
        unit=pack["unit"],
        stock_unit=material.stock_unit,
        milligrams_per_millimetre=material.nominal_mg_per_mm,
    )
    packs = -(-(net + allowance) // content)
    return found | {"pack": pack["name"], "pack_content": content, "packs": packs}


def _rate_unit(per: str, *, material: Material) -> str:
    return "kg" if per == Rate.Per.KILOGRAM else material.show_unit
