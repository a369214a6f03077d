"""A drawing and its bar schedule as the engineer's office sent them: read, asked about, answered, billed."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import resources
from typing import Any

from estimates.queries import designs as design_rows
from estimates.services import bills, designs, materials
from estimates.services.bills import BillAct
from estimates.services.designs import DesignAct
from estimates.services.intake import intakes
from estimates.services.intake.intakes import AnswersAct, IntakeAct, SentFile
from estimates.services.materials import AdoptionAct
from inventory.management.demo import clerk as clerks
from inventory.management.demo import firm
from inventory.management.demo.clerk import Clerk
from inventory.management.demo.firm import Crew
from projects.services import pours, slabs
from projects.services.pours import PourAct
from projects.services.slabs import SlabAct

SITE = "Dairy Store"
FILES = ("floor-over-dairy-store.dxf", "floor-over-dairy-store-bars.xlsx")
DESIGN = "floor-over-dairy-store"

ROUNDS: tuple[dict[str, str], ...] = (
    {},
    {"plan.gap.r1": "first", "plan.opening.r2": "tank neck", "plan.opening.r3": "duct"},
    {"plan.sides.r4": "125"},
)
"""What the office answered, round after round; what was proposed it accepted."""

STEEL_GRADE = "B500B"
STEEL_SIZES = (8, 10, 12, 16, 20)
"""Bars that the drawing asks for and the firm had not bought before."""

ENGINEER = {"engineer": "N. Orveld", "dated": "2026-05-18"}
LAPS = (("11", 900), ("12", 650), ("13", 1200))
"""Marks longer than a stock bar, with the lap that the engineer gave for each [mm]."""

QUESTIONS = (
    (("06",), "Bend the legs to 120 where the cover allows it; else 110 as drawn, on the small former."),
    (("08",), "Chairs as drawn; the bender may use a former of 30."),
)
STOP_ANSWER = (
    "N. Orveld, letter of 18 May 2026: the floor is indoors and stays dry, C25/30 and 25 mm of cover stay as "
    "drawn; revision 1 will name class XC1."
)
POURS = (("north of 1B", 24), ("south with 1B", 19))
"""The parts in the order in which the joint is drawn, north first; the south is cast before it."""


@dataclass(frozen=True)
class Received:
    """Tells how the second drawing came in."""

    clerk: Clerk
    crew: Crew

    def tell(self) -> None:
        """Dairy Store first floor: files read, questions answered, designed as received, answered, billed."""
        office = self.crew.office
        sheet = clerks.sheet(DESIGN)
        act = SlabAct(site_id=self.crew.sites[SITE], name=sheet["slab"])
        slab = self.clerk.do(slabs.add, act, by=office, days=-3)
        self._read(slab.pk)
        self.clerk.do(designs.save, DesignAct(slab_id=slab.pk, sheet=sheet), by=office, days=-3, hour=11)
        self._steel()
        self._billed(slab.pk, sheet=sheet | {"answers": answers()})

    def _read(self, slab_id: int) -> None:
        folder = resources.files("estimates") / "examples" / "drawings"
        sent = tuple(SentFile(name=name, content=(folder / name).read_bytes()) for name in FILES)
        files = IntakeAct(slab_id=slab_id, files=sent)
        intake = self.clerk.do(intakes.receive, files, by=self.crew.office, days=-3)
        for said in ROUNDS:
            act = AnswersAct(intake_id=intake.pk, answers=said, accept=True)
            self.clerk.do(intakes.answer, act, by=self.crew.office, days=-3, hour=10)

    def _steel(self) -> None:
        """Keep the drawing's steel and what its joint takes, with rates and a supplier's offer."""
        clerk, office = self.clerk, self.crew.office
        act = AdoptionAct(steel_grade=STEEL_GRADE, beside=True)
        clerk.do(materials.adopt, act, by=office, days=-2)
        clerk.learn_materials(office)
        codes = tuple(f"steel-{size}-{STEEL_GRADE.lower()}" for size in STEEL_SIZES)
        firm.price(clerk, office, self.crew.suppliers, codes=codes, days=-2)

    def _billed(self, slab_id: int, *, sheet: dict[str, Any]) -> None:
        """Enter the design anew with the engineer's answers, issue its bill and plan both pours."""
        clerk, office = self.clerk, self.crew.office
        design = clerk.do(designs.save, DesignAct(slab_id=slab_id, sheet=sheet), by=office, days=-1)
        issue = BillAct(design_id=design.pk, as_of=clerk.day(-1), reason=STOP_ANSWER)
        clerk.do(bills.issue, issue, by=office, days=-1, hour=10)
        parts = design_rows.pours_of(design_rows.sheet_of(design))
        for part, (name, days) in zip(parts, POURS, strict=True):
            share = part.concrete_hundredths * 100
            act = PourAct(slab_id=slab_id, name=name, pour_date=clerk.day(days), share_ppm=share)
            clerk.do(pours.plan, act, by=office, days=-1, hour=11)


def answers() -> list[dict[str, Any]]:
    """What the engineer answered to the questions of the bar schedule."""
    where = "one lap in each bar, in the middle third, every second one in the next bay"
    lap = {"question": "lap", "decision": where, "joints": 1, "share_percent": 50}
    laps = [lap | {"marks": [mark], "lap_mm": length} | ENGINEER for mark, length in LAPS]
    rest = [
        {"question": "other", "marks": list(marks), "decision": said} | ENGINEER for marks, said in QUESTIONS
    ]
    return [*laps, *rest]
