"""What came to the gate of Dairy Store: measured, checked, held back, tested, with a photo of its note."""

from __future__ import annotations

import io
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from PIL import Image, ImageDraw

from inventory.management.demo.clerk import Clerk
from inventory.management.demo.firm import CEMENT, STONE, Crew
from inventory.models import Receipt
from inventory.services import deliveries, lot_tests, papers, storage_limits
from inventory.services.checks import CheckAct
from inventory.services.deliveries import ReceiptAct, ReceiptLineAct
from inventory.services.lot_tests import TestAct
from inventory.services.measurings import MeasurementAct, ReadingAct
from inventory.services.papers import PapersAct, SentFile
from inventory.services.storage_limits import LimitAct

SITE = "Dairy Store"


@dataclass(frozen=True)
class Gate:
    """Tells three deliveries and what became of them."""

    clerk: Clerk
    crew: Crew

    def tell(self) -> None:
        """Sand by the truck's body and the jar; cement short and held back; old cement that passed a test."""
        sand = self._receive(
            self._line("sand", measurement=_body(), checks=(CheckAct("silt", reading=Decimal(5)),)),
            supplier=STONE,
            note="N-3501",
            days=-2,
        )
        file = SentFile("note.png", _picture("N-3501", "Blue Hollow Aggregates", "Sand, 1 truck, 10 m3"))
        act = PapersAct(receipt_id=sand.pk, files=(file,))
        self.clerk.do(papers.attach, act, by=self._keeper, days=-2, hour=11)
        held = CheckAct("certificate", verdict="hold", remark="not with the load; the depot sends it")
        self._receive(
            self._line("cement", measurement=_bags(), checks=(held,), made_date=self.clerk.cement_week(-1)),
            supplier=CEMENT,
            note="N-3502",
            days=-1,
        )
        old = self._receive(
            self._line("cement", packs=12, made_date=self.clerk.cement_week(-92)),
            supplier=CEMENT,
            note="N-3503",
            days=-1,
        )
        self._pass(old)
        limit = LimitAct(
            site_id=self.crew.sites["Ridge House"],
            material_id=self.clerk.material_id("cement"),
            floor_m2=Decimal(6),
            bags_high=8,
        )
        self.clerk.do(storage_limits.set_limit, limit, by=self.crew.office, days=-5)

    @property
    def _keeper(self) -> Any:
        return self.crew.site_of[SITE]

    def _line(self, code: str, *, packs: int = 0, **more: Any) -> ReceiptLineAct:
        clerk = self.clerk
        pack_id = clerk.pack_id(code) if code == "cement" else None
        return ReceiptLineAct(
            material_id=clerk.material_id(code), stated=None, found=Decimal(packs), pack_id=pack_id, **more
        )

    def _receive(self, line: ReceiptLineAct, *, supplier: str, note: str, days: int) -> Receipt:
        act = ReceiptAct(
            site_id=self.crew.sites[SITE],
            supplier_id=self.crew.suppliers[supplier],
            happened_at=self.clerk.at(days, 9),
            note_number=note,
            vehicle="HF 07 " + note[-4:],
            lines=(line,),
        )
        found: Receipt = self.clerk.do(deliveries.record, act, by=self._keeper, days=days, hour=9)
        return found

    def _pass(self, receipt: Receipt) -> None:
        lot = receipt.lines.get().lot
        if lot is None:
            message = "old cement came without its day of make"
            raise ValueError(message)
        act = TestAct(
            lot_id=lot.pk,
            tested_date=self.clerk.day(-1),
            passed=True,
            tested_by="County materials laboratory",
            result="fineness, setting time and 7-day strength as the grade asks",
            usable_until=self.clerk.day(21),
        )
        self.clerk.do(lot_tests.record, act, by=self._keeper, days=-1, hour=16)


def _body() -> MeasurementAct:
    """A tipper, tapered at its bottom; the sand rose from 165 to 200 ml by its moisture."""
    figures = {
        "length": "4.3",
        "bottom_length": "4.1",
        "width": "2.1",
        "depth_1": "1.15",
        "depth_2": "1.2",
        "depth_3": "1.1",
        "jar_moist": "200",
        "jar_flooded": "165",
    }
    readings = (ReadingAct(name, Decimal(value), name != "bottom_length") for name, value in figures.items())
    return MeasurementAct("truck", tuple(readings))


def _bags() -> MeasurementAct:
    """Forty bags, ten of them weighed: within the tolerance, and short."""
    figures = {"bags": "40", "weighed": "10", "weighed_mass": "496.5"}
    return MeasurementAct("bags", tuple(ReadingAct(name, Decimal(value)) for name, value in figures.items()))


def _picture(*lines: str) -> bytes:
    """Draw a delivery note of the invented supplier, as a phone would take it."""
    image = Image.new("RGB", (900, 600), "#f4f1e6")
    pen = ImageDraw.Draw(image)
    pen.rectangle((30, 30, 870, 570), outline="#333333", width=3)
    for row, text in enumerate(("DELIVERY NOTE", *lines)):
        pen.text((70, 70 + 90 * row), text, fill="#222222", font_size=44)
    written = io.BytesIO()
    image.save(written, format="PNG")
    return written.getvalue()
