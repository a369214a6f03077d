"""Buying, receiving and using, as the demo's people do it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from inventory.management.demo.clerk import Clerk, Needs
from inventory.management.demo.firm import SUPPLIERS, Crew
from inventory.queries import deliveries as delivery_rows
from inventory.services import counts, deliveries, offline, orders, usage
from inventory.services.counts import CloseAct, CountAct, CountLineAct
from inventory.services.deliveries import ReceiptAct, ReceiptLineAct
from inventory.services.offline import OfflineAct
from inventory.services.orders import LineAct, OrderAct, StepAct
from inventory.services.usage import IssueAct, SlipLineAct, WasteAct
from projects.access.actor import Actor

CEMENT, STONE, STEEL, SUNDRIES = SUPPLIERS
HEAPS = ("sand", "stone-20", "stone-10", "binding-wire")


@dataclass(frozen=True)
class Job:
    """A slab under way: its site, its pour and what its bill allows."""

    site: str
    pour_id: int
    needs: Needs


@dataclass(frozen=True)
class Found:
    """What came of a material: found and rejected packs, when it is not all as the note says."""

    found: int
    rejected: int = 0
    reason: str = ""


@dataclass(frozen=True)
class Yard:
    """The demo's stores: every act on them, by the right person."""

    clerk: Clerk
    crew: Crew

    def order(self, job: Job, *, supplier: str, packs: dict[str, int], days: int, wait: int) -> int:
        """Write, approve and send an order; the owner approves what is above the office's limit."""
        clerk, office = self.clerk, self.crew.office
        lines = tuple(
            LineAct(
                material_id=clerk.material_id(code),
                pack_id=clerk.pack_id(code),
                packs=count,
                pack_price=clerk.price(supplier, code, on=clerk.day(days)),
                pour_id=job.pour_id,
            )
            for code, count in packs.items()
        )
        act = OrderAct(
            site_id=self.crew.sites[job.site],
            supplier_id=self.crew.suppliers[supplier],
            expected_date=clerk.day(days + wait),
            lines=lines,
        )
        order = clerk.do(orders.draft, act, by=office, days=days)
        approver = self.crew.owner if order.total_minor > self.crew.limit_minor else office
        clerk.do(orders.approve, StepAct(order_id=order.pk), by=approver, days=days, hour=10)
        clerk.do(orders.send, StepAct(order_id=order.pk), by=office, days=days, hour=11)
        return int(order.pk)

    def buy(self, job: Job, *, days: int, wait: int, only: tuple[str, ...] = ()) -> dict[str, int]:
        """Order everything the job needs, one order a supplier; returns the orders by supplier."""
        wanted = {code: job.needs.packs(code, clerk=self.clerk) for code in job.needs.allowed}
        bought = {}
        for supplier in SUPPLIERS:
            mine = {c: n for c, n in wanted.items() if self.clerk.sells(supplier, c)}
            if mine and (not only or supplier in only):
                bought[supplier] = self.order(job, supplier=supplier, packs=mine, days=days, wait=wait)
        return bought

    def receive(
        self, job: Job, order_id: int, *, days: int, note: str, differs: dict[str, Found] | None = None
    ) -> None:
        """Record a delivery; what `differs` does not name came as ordered."""
        clerk, by = self.clerk, self.crew.site_of[job.site]
        order = delivery_rows.expected_order(by, order_id=order_id, today=clerk.day(days)).order
        lines = []
        for line in order.lines.all():
            code = line.material.code
            came = (differs or {}).get(code, Found(line.packs))
            lines.append(
                ReceiptLineAct(
                    material_id=line.material_id,
                    order_line_id=line.pk,
                    pack_id=line.pack_id,
                    stated=Decimal(line.packs),
                    found=Decimal(came.found),
                    rejected=Decimal(came.rejected),
                    reject_reason=came.reason,
                    lot_label=f"{clerk.cement_week(days):%G-W%V}" if code == "cement" else "",
                    made_date=clerk.cement_week(days) if code == "cement" else None,
                )
            )
        act = ReceiptAct(
            site_id=order.site_id,
            supplier_id=order.supplier_id,
            order_id=order.pk,
            note_number=note,
            vehicle="HF 07 " + note[-4:],
            happened_at=clerk.at(days, 10),
            lines=tuple(lines),
        )
        clerk.do(deliveries.record, act, by=by, days=days, hour=10)

    def issue(self, job: Job, *, days: int, parts: dict[str, float] | None = None) -> None:
        """Issue what is used by slip: what the bill allows, times a part for what differs."""
        clerk, by = self.clerk, self.crew.site_of[job.site]
        lines = []
        for code in job.needs.allowed:
            material = clerk.kept[code].material
            if not material.stocked or code in HEAPS:
                continue
            part = (parts or {}).get(code, 1.0)
            lines.append(self._line(job, code=code, part=part))
        act = IssueAct(
            pour_id=job.pour_id,
            happened_at=clerk.at(days, 7),
            lines=tuple(lines),
            given_to="the pouring crew",
        )
        clerk.do(usage.issue, act, by=by, days=days, hour=8)

    def issue_offline(self, job: Job, *, days: int, code: str, packs: int) -> None:
        """Send a slip that a phone wrote in the morning without network, with a nought too many."""
        clerk, by = self.clerk, self.crew.site_of[job.site]
        line = SlipLineAct(
            material_id=clerk.material_id(code), pack_id=clerk.pack_id(code), amount=Decimal(packs)
        )
        slip = IssueAct(
            pour_id=job.pour_id,
            happened_at=clerk.at(days, 10),
            lines=(line,),
            given_to="the pouring crew",
        )
        act = OfflineAct(written=slip, sent_at=clerk.at(days, 18))
        clerk.do(offline.record, act, by=by, days=days, hour=18)

    def _line(self, job: Job, *, code: str, part: float) -> SlipLineAct:
        clerk = self.clerk
        if code == "cement":
            bags = job.needs.packs(code, clerk=clerk, part=part)
            return SlipLineAct(
                material_id=clerk.material_id(code), pack_id=clerk.pack_id(code), amount=Decimal(bags)
            )
        return SlipLineAct(
            material_id=clerk.material_id(code), amount=job.needs.shown(code, clerk=clerk, part=part)
        )

    def waste(self, job: Job, *, days: int, code: str, packs: int, reason: str) -> None:
        """Write material off with its cause."""
        clerk, by = self.clerk, self.crew.site_of[job.site]
        line = SlipLineAct(
            material_id=clerk.material_id(code), pack_id=clerk.pack_id(code), amount=Decimal(packs)
        )
        act = WasteAct(
            site_id=self.crew.sites[job.site],
            reason=reason,
            happened_at=clerk.at(days, 15),
            lines=(line,),
            pour_id=job.pour_id,
        )
        clerk.do(usage.waste, act, by=by, days=days, hour=16)

    def close(self, job: Job, *, days: int, heaps: dict[str, str]) -> None:
        """Close the pour with the heaps as measured after it."""
        clerk, by = self.clerk, self._counter(job)
        lines = tuple(
            CountLineAct(material_id=clerk.material_id(code), found=Decimal(found))
            for code, found in heaps.items()
        )
        act = CloseAct(pour_id=job.pour_id, happened_at=clerk.at(days, 9), heaps=lines)
        clerk.do(counts.close_pour, act, by=by, days=days, hour=10)

    def count(self, job: Job, *, days: int, code: str, packs: int, why: str) -> None:
        """Let the keeper of the store count one material, twice because it lies far from the book."""
        clerk, by = self.clerk, self.crew.site_of[job.site]
        line = CountLineAct(
            material_id=clerk.material_id(code),
            pack_id=clerk.pack_id(code),
            found=Decimal(packs),
            explanation=why,
        )
        act = CountAct(
            site_id=self.crew.sites[job.site],
            happened_at=clerk.at(days, 9),
            lines=(line,),
            recounted=True,
        )
        clerk.do(counts.record, act, by=by, days=days, hour=10)

    def _counter(self, job: Job) -> Actor:
        """A count is better by somebody who does not keep the store: here the office."""
        del job
        return self.crew.office
