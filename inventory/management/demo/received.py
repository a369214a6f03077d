"""A drawing and its bar schedule as the engineer's office sent them: read, asked about, and entered."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import resources

from estimates.services import designs
from estimates.services.designs import DesignAct
from estimates.services.intake import intakes
from estimates.services.intake.intakes import AnswersAct, IntakeAct, SentFile
from inventory.management.demo import clerk as clerks
from inventory.management.demo.clerk import Clerk
from inventory.management.demo.firm import Crew
from projects.services import slabs
from projects.services.slabs import SlabAct

FILES = ("floor-over-dairy-store.dxf", "floor-over-dairy-store-bars.xlsx")
DESIGN = "floor-over-dairy-store"

ROUNDS: tuple[dict[str, str], ...] = (
    {},
    {"plan.gap.r1": "first", "plan.opening.r2": "tank neck", "plan.opening.r3": "duct"},
    {"plan.sides.r4": "125"},
)
"""What the office answered, round after round; what was proposed it accepted."""


@dataclass(frozen=True)
class Received:
    """Tells how the second drawing came in."""

    clerk: Clerk
    crew: Crew

    def tell(self) -> None:
        """Dairy Store first floor: files read, questions answered, the design entered; no bill yet."""
        office = self.crew.office
        sheet = clerks.sheet(DESIGN)
        act = SlabAct(site_id=self.crew.sites["Dairy Store"], name=sheet["slab"])
        slab = self.clerk.do(slabs.add, act, by=office, days=-1)
        folder = resources.files("estimates") / "examples" / "drawings"
        sent = tuple(SentFile(name=name, content=(folder / name).read_bytes()) for name in FILES)
        files = IntakeAct(slab_id=slab.pk, files=sent)
        intake = self.clerk.do(intakes.receive, files, by=office, days=-1)
        for said in ROUNDS:
            answers = AnswersAct(intake_id=intake.pk, answers=said, accept=True)
            self.clerk.do(intakes.answer, answers, by=office, days=-1, hour=10)
        self.clerk.do(designs.save, DesignAct(slab_id=slab.pk, sheet=sheet), by=office, days=-1, hour=11)
