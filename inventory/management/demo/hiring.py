"""What the demo's sites have on hire: props that still stand, one lost, plates that are late, a mixer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from inventory.management.demo.clerk import Clerk
from inventory.management.demo.firm import PER_RUPEE, Crew
from inventory.services import hire, suppliers
from inventory.services.hire import HireAct, HireEndAct, HireTermsAct
from inventory.services.suppliers import SupplierAct

HIRE_YARD = "Ferry Lane Plant Hire"


@dataclass(frozen=True)
class Hiring:
    """The register of hire of the first floor of Mill Terrace, poured a week ago."""

    clerk: Clerk
    crew: Crew
    floor_id: int

    def tell(self) -> None:
        """Props stand, two are bent and one is gone; the plates should be back; the mixer is."""
        yard = SupplierAct(name=HIRE_YARD, phone="044 555 0107")
        yard_id = int(self.clerk.do(suppliers.add, yard, by=self.crew.office, days=-12).pk)
        props = self._hired("hire-prop", "steel prop, 3.5 m", pieces=90, days=-9, back=7, yard_id=yard_id)
        self._agreed(props, rate=PER_RUPEE * 3 // 2, day_count="nights", lost_price_minor=850_00)
        plates = self._hired(
            "hire-formwork", "steel plate 900 × 600", pieces=64, days=-9, back=-1, yard_id=yard_id
        )
        self._agreed(plates, rate=PER_RUPEE * 2, minimum_days=7, lost_price_minor=1_400_00)
        mixer = self._hired(
            "hire-mixer", "one-bag mixer, plate no. 14", pieces=1, days=-7, back=-5, yard_id=yard_id
        )
        self._agreed(mixer, rate=PER_RUPEE * 900)
        self._ended(mixer, "back", pieces=1, days=-5)
        self._ended(plates, "back", pieces=40, days=-1)
        self._ended(props, "damaged", pieces=2, days=-1, found="bent at the collar when the form was struck")
        self._ended(props, "lost", pieces=1, days=-1, found="not in the count below the slab")

    def _hired(self, code: str, what: str, *, pieces: int, days: int, back: int, yard_id: int) -> int:
        act = HireAct(
            site_id=self.crew.sites["Mill Terrace"],
            supplier_id=yard_id,
            material_id=self.clerk.material_id(code),
            what=what,
            pieces=pieces,
            out_date=self.clerk.day(days),
            due_date=self.clerk.day(back),
            slab_id=self.floor_id,
        )
        keeper = self.crew.site_of["Mill Terrace"]
        return int(self.clerk.do(hire.take_on, act, by=keeper, days=days).pk)

    def _agreed(self, hire_id: int, *, rate: int, **terms: Any) -> None:
        act = HireTermsAct(hire_id=hire_id, rate=rate, **terms)
        self.clerk.do(hire.agree, act, by=self.crew.office, days=-1)

    def _ended(self, hire_id: int, kind: str, *, pieces: int, days: int, found: str = "") -> None:
        seen_by = "the foreman and the hire yard's driver" if found else ""
        act = HireEndAct(
            hire_id=hire_id, kind=kind, pieces=pieces, day=self.clerk.day(days), found=found, seen_by=seen_by
        )
        self.clerk.do(hire.end, act, by=self.crew.site_of["Mill Terrace"], days=days, hour=16)
