"""The hand that writes the demo: each act through its service, at its own hour, under its own key."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from decimal import Decimal
from importlib import resources
from pathlib import Path
from typing import Any

from estimates.queries import bills, materials
from estimates.queries.materials import MaterialRow
from projects.access.actor import Actor


@dataclass
class Clerk:
    """Counts the acts and knows the day on which the demo is loaded."""

    today: datetime
    acts: int = 0
    kept: dict[str, MaterialRow] = field(default_factory=dict)
    prices: dict[tuple[str, str], list[tuple[date, int]]] = field(default_factory=dict)

    def at(self, days: int, hour: int = 9) -> datetime:
        """Return a working hour so many days from today; never later than the loading itself."""
        moment = (self.today + timedelta(days=days)).replace(hour=hour, minute=0, second=0, microsecond=0)
        return min(moment, self.today)

    def day(self, days: int) -> date:
        """Return the date so many days from today."""
        return (self.today + timedelta(days=days)).date()

    def cement_week(self, days: int) -> date:
        """Return the Monday of the week in which cement that comes on this day was made."""
        made = self.day(days - 9)
        return made - timedelta(days=made.weekday())

    def do(self, service: Callable[..., Any], act: Any, *, by: Actor, days: int, hour: int = 9) -> Any:
        """Do one act at its hour."""
        self.acts += 1
        return service(actor=by, act=act, key=f"demo-{self.acts:04d}", now=self.at(days, hour))

    def learn_materials(self, by: Actor) -> None:
        """Look the firm's materials and packs up once."""
        rows = materials.listing(by, on=self.today.date(), count=200)
        self.kept = {row.material.code: row for row in rows}

    def material_id(self, code: str) -> int:
        """Return a material by its code."""
        return int(self.kept[code].material.pk)

    def pack_id(self, code: str) -> int:
        """Return the material's usual pack."""
        return int(self.kept[code].packs[0].pk)

    def learn_price(self, supplier: str, code: str, *, from_date: date, pack_price: int) -> None:
        """Remember an offer as it is made."""
        self.prices.setdefault((supplier, code), []).append((from_date, pack_price))

    def sells(self, supplier: str, code: str) -> bool:
        """Say whether this is the first supplier that offers the material."""
        return next((s for s, c in self.prices if c == code), None) == supplier

    def price(self, supplier: str, code: str, *, on: date) -> int:
        """Return the supplier's price of a pack on a day, in 1/10,000 of the minor unit."""
        return max((day, price) for day, price in self.prices[supplier, code] if day <= on)[1]

    def content(self, code: str) -> int:
        """Return how many stock units the usual pack holds."""
        return int(self.kept[code].packs[0].content)


@dataclass(frozen=True)
class Needs:
    """What a slab's issued bill allows, in stock units by material."""

    allowed: dict[str, int]

    def packs(self, code: str, *, clerk: Clerk, part: float = 1.0) -> int:
        """Return whole packs for a part of what is allowed, rounded up."""
        wanted = round(self.allowed[code] * part)
        return -(-wanted // clerk.content(code))

    def shown(self, code: str, *, clerk: Clerk, part: float = 1.0) -> Decimal:
        """Return a part of what is allowed in the material's shown unit, to the thousandth."""
        factor = clerk.kept[code].material.show_factor
        return (Decimal(self.allowed[code]) * Decimal(str(part)) / factor).quantize(Decimal("0.001"))


def needs_of(by: Actor, *, bill_id: int) -> Needs:
    """Read what a bill allows."""
    lines = bills.one(by, bill_id=bill_id).bill.lines.all()
    return Needs(
        {line.material.code: line.allowed for line in lines if line.material and line.material.stocked}
    )


def sheet(name: str) -> dict[str, Any]:
    """Read a design sheet of the demo, or the example that the estimates app carries."""
    here = Path(str(resources.files("inventory"))) / "management" / "demo" / "sheets" / f"{name}.json"
    example = Path(str(resources.files("estimates"))) / "examples" / f"{name}.json"
    path = here if here.exists() else example
    loaded: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return loaded
