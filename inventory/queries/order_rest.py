"""What is still to come of an order line: by length or number, or by mass where it is settled so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db.models import Q, Sum

from inventory.calc import money
from inventory.models import OrderLine

_VALID = Q(receipt_lines__receipt__reversed_at__isnull=True)

GOOD = Sum("receipt_lines__accepted", filter=_VALID)
"""Stock units accepted against an order line, receipts taken back left out."""

GOOD_G = Sum("receipt_lines__mass_g", filter=_VALID)
"""Grams accepted against it; only bars have them."""


@dataclass(frozen=True)
class Asked:
    """What a line asks for in stock units, and in grams where it is settled by mass; what has come of it."""

    quantity: int
    mass_g: int | None
    good: int | None
    good_g: int | None

    @property
    def filled(self) -> int:
        """Stock units of the order that have come.

        A line that is settled by mass is as far filled as its mass is: heavy bars are short in length, and
        nothing more of them is to come.
        """
        if self.mass_g is None:
            return self.good or 0
        come = min(self.good_g or 0, self.mass_g)
        return money.half_even(self.quantity * come, denominator=self.mass_g)


def left(line: Any) -> int:
    """Stock units still to come, 0 when it is complete; `line` is annotated with `good` and `good_g`."""
    come = Asked(line.quantity, line.mass_g, line.good, line.good_g).filled
    return line.quantity - come if come < line.quantity else 0


def packs_left(line: OrderLine, *, units: int) -> int:
    """Whole packs that hold so many stock units; a part of a pack counts as one."""
    return -(-units // line.pack.content)
