"""How the demo's office buys: three quotations, an agreed rate, an order amended and one that is late."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from typing import Any

from inventory.management.demo.clerk import Clerk
from inventory.management.demo.firm import PER_RUPEE, SUPPLIERS, Crew
from inventory.queries import enquiries as rows
from inventory.queries import orders as order_rows
from inventory.services import (
    agreements,
    cash,
    deliveries,
    enquiries,
    order_changes,
    quotations,
    supplier_terms,
    suppliers,
)
from inventory.services.agreements import AgreementAct, CallOffAct
from inventory.services.cash import CashAct, CashLineAct
from inventory.services.deliveries import ReceiptAct, ReceiptLineAct
from inventory.services.enquiries import EnquiryAct, EnquiryLineAct, EnquiryStep
from inventory.services.order_changes import AmendAct, ExpectAct, LineChange
from inventory.services.quotations import ChoiceAct, QuotationAct, QuotedLineAct
from inventory.services.supplier_terms import SupplierTermsAct
from inventory.services.suppliers import BreakAct, OfferAct, SupplierAct
from projects.access.actor import Actor

CEMENT, STONE, STEEL, SUNDRIES = SUPPLIERS
PIT, QUARRY = "Weir Sand Pit", "Old Kiln Quarry"


@dataclass(frozen=True)
class Buying:
    """The office's desk, where suppliers are asked and orders are changed."""

    clerk: Clerk
    crew: Crew

    def tell(self) -> None:
        """Ask for sand, agree on a rate for wire, amend one order and hear that another is late."""
        asked = {STONE: self.crew.suppliers[STONE], PIT: self._supplier(PIT), QUARRY: self._supplier(QUARRY)}
        self._sand(asked)
        self._wire()
        self._amended()
        self._late()
        self._cash()
        self._of_the_client()
        self._terms()

    def _terms(self) -> None:
        """What suppliers have said about trucks, rounds, least orders and a better price for much cement."""
        known = self.crew.suppliers
        told = (
            SupplierTermsAct(
                supplier_id=known[STONE], trip_minor=1_800_00, truck_kg=9_000, delivery_days=(0, 2, 4)
            ),
            SupplierTermsAct(supplier_id=known[STEEL], least_order_minor=15_000_00, order_days=(0, 3)),
        )
        for act in told:
            self.clerk.do(supplier_terms.set_terms, act, by=self.crew.office, days=-1)
        cement = OfferAct(
            supplier_id=self.crew.suppliers[CEMENT],
            material_id=self.clerk.material_id("cement"),
            pack_id=self.clerk.pack_id("cement"),
            from_date=self.clerk.day(-1),
            pack_price=418 * PER_RUPEE,
            lead_days=2,
            minimum_packs=20,
            valid_until=self.clerk.day(29),
            breaks=(BreakAct(from_packs=120, pack_price=406 * PER_RUPEE),),
        )
        self.clerk.do(suppliers.set_offer, cement, by=self.crew.office, days=-1)

    def _wire(self) -> None:
        """A rate for wire until the season ends, of which two sites call off."""
        clerk = self.clerk
        act = AgreementAct(
            supplier_id=self.crew.suppliers[SUNDRIES],
            pack_id=clerk.pack_id("binding-wire"),
            pack_price=86 * PER_RUPEE,
            total_packs=40,
            from_date=clerk.day(-10),
            valid_until=clerk.day(80),
            remark="collected or brought with other goods",
        )
        agreed = clerk.do(agreements.agree, act, by=self.crew.office, days=-10)
        for site, packs, days in (("Mill Terrace", 4, -9), ("Ridge House", 6, -1)):
            call = CallOffAct(
                agreement_id=agreed.pk,
                site_id=self.crew.sites[site],
                packs=packs,
                expected_date=clerk.day(days + 3),
            )
            order = clerk.do(agreements.call_off, call, by=self.crew.site_of[site], days=days)
            if days < -3:
                self._wire_came(order, by=self.crew.site_of[site], days=days + 2)

    def _wire_came(self, order: Any, *, by: Actor, days: int) -> None:
        line = order.lines.get()
        came = ReceiptLineAct(
            material_id=line.material_id,
            order_line_id=line.pk,
            pack_id=line.pack_id,
            stated=Decimal(line.packs),
            found=Decimal(line.packs),
        )
        act = ReceiptAct(
            site_id=order.site_id,
            supplier_id=order.supplier_id,
            order_id=order.pk,
            happened_at=self.clerk.at(days, 10),
            lines=(came,),
        )
        self.clerk.do(deliveries.record, act, by=by, days=days, hour=10)

    def _amended(self) -> None:
        """The engineer asked for a thicker edge: one more load of stone than was ordered."""
        order = self._open(STONE, state="sent")
        line = next(row for row in order.lines.all() if row.material.code == "stone-20")
        act = AmendAct(
            order_id=order.pk,
            reason="The roof's edge is cast with the slab after all.",
            lines=(LineChange(line.pk, line.packs + 1),),
        )
        self.clerk.do(order_changes.amend, act, by=self.crew.office, days=-1)

    def _late(self) -> None:
        """The rest of the cement was due days ago, and the depot has put it off once."""
        order = self._open(CEMENT, state="part")
        act = ExpectAct(
            order_id=order.pk,
            expected_date=max(order.expected_date + timedelta(days=1), self.clerk.day(-1)),
            reason="The depot, by telephone: their lorry is under repair.",
        )
        self.clerk.do(order_changes.expect, act, by=self.crew.site_of["Ridge House"], days=-2, hour=15)

    def _cash(self) -> None:
        """Wire ran out at the bars: bought at the shop round the corner and paid at the counter."""
        line = CashLineAct(
            material_id=self.clerk.material_id("binding-wire"),
            pack_id=self.clerk.pack_id("binding-wire"),
            packs=3,
            paid_minor=285_00,
        )
        act = CashAct(site_id=self.crew.sites["Ridge House"], lines=(line,), shop="Lane Hardware")
        self.clerk.do(cash.buy, act, by=self.crew.site_of["Ridge House"], days=-1, hour=12)

    def _of_the_client(self) -> None:
        """The client of the store brings covers left over from another job: they have no value here."""
        client = SupplierAct(name="Dairy cooperative, the client", is_client=True)
        client_id = int(self.clerk.do(suppliers.add, client, by=self.crew.office, days=-3).pk)
        line = ReceiptLineAct(
            material_id=self.clerk.material_id("curing-cover"), stated=Decimal(40), found=Decimal(40)
        )
        act = ReceiptAct(
            site_id=self.crew.sites["Dairy Store"],
            supplier_id=client_id,
            happened_at=self.clerk.at(-1, 11),
            lines=(line,),
            remark="The client's own, from another job.",
        )
        self.clerk.do(deliveries.record, act, by=self.crew.site_of["Dairy Store"], days=-1, hour=11)

    def _open(self, supplier: str, *, state: str) -> Any:
        """The oldest order of a supplier that is in a state."""
        found = order_rows.listing(self.crew.office, wanted=order_rows.Wanted(states=(state,)))
        return [order for order in found if order.supplier.name == supplier][-1]

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
