"""How the demo's office asks and chooses: three quotations for sand, each in a unit of its own."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from inventory.management.demo.clerk import Clerk
from inventory.management.demo.firm import PER_RUPEE, SUPPLIERS, Crew
from inventory.queries import enquiries as rows
from inventory.services import enquiries, quotations, suppliers
from inventory.services.enquiries import EnquiryAct, EnquiryLineAct, EnquiryStep
from inventory.services.quotations import ChoiceAct, QuotationAct, QuotedLineAct
from inventory.services.suppliers import SupplierAct

_CEMENT, STONE, _STEEL, _SUNDRIES = SUPPLIERS
PIT, QUARRY = "Weir Sand Pit", "Old Kiln Quarry"


@dataclass(frozen=True)
class Buying:
    """The office's desk, where suppliers are asked and orders are changed."""

    clerk: Clerk
    crew: Crew

    def tell(self) -> None:
        """Ask three suppliers for sand and choose one of their quotations."""
        asked = {STONE: self.crew.suppliers[STONE], PIT: self._supplier(PIT), QUARRY: self._supplier(QUARRY)}
        self._sand(asked)

    def _supplier(self, name: str) -> int:
        act = SupplierAct(name=name, phone="044 555 0107")
        return int(self.clerk.do(suppliers.add, act, by=self.crew.office, days=-5).pk)

    def _sand(self, asked: dict[str, int]) -> None:
        clerk, office = self.clerk, self.crew.office
        line = EnquiryLineAct(
            material_id=clerk.material_id("sand"), amount=Decimal(12), specification="coarse, zone II"
        )
        act = EnquiryAct(
            site_id=self.crew.sites["Dairy Store"],
            needed_date=clerk.day(12),
            answer_date=clerk.day(1),
            supplier_ids=tuple(asked.values()),
            lines=(line,),
            remark="The lane takes trucks of up to 10 t.",
        )
        enquiry = clerk.do(enquiries.write, act, by=office, days=-4)
        clerk.do(enquiries.send, EnquiryStep(enquiry_id=enquiry.pk), by=office, days=-4, hour=10)
        line_id = rows.lines(office, enquiry)[0].pk
        quoted = {
            STONE: {"price": 5_600, "unit": "brass", "tax_percent": Decimal(5), "lead_days": 2},
            PIT: {"price": 11_000, "unit": "cft", "load": Decimal(200), "lead_days": 1},
            QUARRY: {"price": 1_900, "unit": "m3", "freight": 350 * PER_RUPEE, "freight_basis": "unit"},
        }
        until = {STONE: 20, PIT: 12, QUARRY: -1}
        for name, supplier_id in asked.items():
            answer = self._answer(enquiry.pk, supplier_id=supplier_id, line_id=line_id, quoted=quoted[name])
            act_of = QuotationAct(**answer, valid_until=clerk.day(until[name]))
            clerk.do(quotations.record, act_of, by=office, days=-3, hour=11)
        self._choose(enquiry, supplier_id=asked[STONE])

    def _answer(
        self, enquiry_id: int, *, supplier_id: int, line_id: int, quoted: dict[str, Any]
    ) -> dict[str, Any]:
        line = QuotedLineAct(line_id=line_id, **(quoted | {"price": quoted["price"] * PER_RUPEE}))
        return {
            "enquiry_id": enquiry_id,
            "supplier_id": supplier_id,
            "dated": self.clerk.day(-3),
            "credit_days": 15,
            "lines": (line,),
        }

    def _choose(self, enquiry: Any, *, supplier_id: int) -> None:
        [line] = rows.compared(self.crew.office, enquiry, today=self.clerk.day(-1))
        chosen = next(one.row for one in line.quoted if one.row.quotation.supplier_id == supplier_id)
        reason = "Lowest outlay: by the load five cubic metres would lie over on a small yard."
        act = ChoiceAct(quoted_id=chosen.pk, reason=reason, pack_id=self.clerk.pack_id("sand"))
        self.clerk.do(quotations.choose, act, by=self.crew.office, days=-1)
