"""Suppliers' bills of the demo: one paid, one due, one held for bags that came short."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from inventory.management.demo.clerk import Clerk
from inventory.management.demo.firm import SUPPLIERS, Crew
from inventory.queries import supplier_bills as rows
from inventory.queries.supplier_bills import Unbilled
from inventory.services import payments, supplier_bills
from inventory.services.bill_lines import BilledLineAct
from inventory.services.payments import PartAct, PaymentAct
from inventory.services.supplier_bills import SupplierBillAct

CEMENT, STONE, STEEL, _SUNDRIES = SUPPLIERS
TAX_PERCENT = 18


@dataclass(frozen=True)
class Billing:
    """The office's desk, where bills come in."""

    clerk: Clerk
    crew: Crew

    def tell(self) -> None:
        """Enter three bills: steel paid, stone due, and cement billed as the note says, though less came."""
        self._paid(STEEL, "T-0588", days=-20)
        self._enter(STONE, "BH/214", lines=self._oldest(STONE), days=-9)
        self._short(CEMENT, "K-1031", days=-1)

    def _paid(self, supplier: str, number: str, *, days: int) -> None:
        bill_id, total = self._enter(supplier, number, lines=self._oldest(supplier), days=days)
        act = PaymentAct(
            supplier_id=self.crew.suppliers[supplier],
            paid_date=self.clerk.day(days + 12),
            amount_minor=total,
            parts=(PartAct(bill_id=bill_id, amount_minor=total),),
            reference="transfer 4471",
        )
        self.clerk.do(payments.pay, act, by=self.crew.office, days=days + 12)

    def _short(self, supplier: str, number: str, *, days: int) -> None:
        """Bill the last load as its note states it: five bags never came, four were sent back."""
        last = self._waiting(supplier)[-1]
        stated = Decimal(last.line.stated_thousandths) / 1_000
        amount = last.expected_minor * stated / (Decimal(last.left) / (last.line.stock_per_unit // 1_000))
        act = self._line(last, quantity=stated, amount_minor=round(amount))
        self._enter(supplier, number, lines=[act], days=days)

    def _oldest(self, supplier: str) -> list[BilledLineAct]:
        """Everything of the supplier's first delivery, at the price at which it was taken in."""
        waiting = self._waiting(supplier)
        first = waiting[0].line.receipt_id
        return [
            self._line(
                row,
                quantity=Decimal(row.left * 1_000) / row.line.stock_per_unit,
                amount_minor=row.expected_minor,
            )
            for row in waiting
            if row.line.receipt_id == first
        ]

    def _line(self, row: Unbilled, *, quantity: Decimal, amount_minor: int) -> BilledLineAct:
        return BilledLineAct(
            material_id=row.line.material_id,
            receipt_line_id=row.line.pk,
            pack_id=row.line.pack_id,
            quantity=quantity,
            amount_minor=amount_minor,
        )

    def _waiting(self, supplier: str) -> tuple[Unbilled, ...]:
        return rows.unbilled(self.crew.office, supplier_id=self.crew.suppliers[supplier])

    def _enter(self, supplier: str, number: str, *, lines: list[BilledLineAct], days: int) -> tuple[int, int]:
        goods = sum(line.amount_minor for line in lines)
        tax = round(goods * TAX_PERCENT / 100)
        act = SupplierBillAct(
            supplier_id=self.crew.suppliers[supplier],
            number=number,
            dated=self.clerk.day(days),
            due_date=self.clerk.day(days + 15),
            lines=tuple(lines),
            tax_minor=tax,
            total_minor=goods + tax,
        )
        bill = self.clerk.do(supplier_bills.record, act, by=self.crew.office, days=days)
        return bill.pk, goods + tax
