"""Six slabs on three sites: in design, billed, ordered, supplied short, poured with overuse, finished."""

from __future__ import annotations

from dataclasses import dataclass

from estimates.services import bills, designs
from estimates.services import requirements as needs_of_firm
from estimates.services.bills import BillAct
from estimates.services.designs import DesignAct
from inventory.management.demo import clerk as clerks
from inventory.management.demo.billing import Billing
from inventory.management.demo.buying import Buying
from inventory.management.demo.clerk import Clerk
from inventory.management.demo.cutting import Cutting
from inventory.management.demo.firm import Crew
from inventory.management.demo.gate import Gate
from inventory.management.demo.hiring import Hiring
from inventory.management.demo.received import Received
from inventory.management.demo.trade import CEMENT, STEEL, STONE, SUNDRIES, Found, Job, Yard
from inventory.services import planning
from projects.access import actor as actors
from projects.services import pours, slabs
from projects.services.pours import PourAct, PouredAct
from projects.services.slabs import SlabAct, SlabClosingAct

STOP_ANSWER = "Engineer's office, by telephone: build as drawn; a revision with the answer follows."


@dataclass(frozen=True)
class Story:
    """Tells the slabs one after the other, in the order in which things happened."""

    clerk: Clerk
    crew: Crew

    @property
    def yard(self) -> Yard:
        """Where material is bought, received and used."""
        return Yard(self.clerk, self.crew)

    def tell(self) -> None:
        """Write all six slabs, then derive the needs and make the first plan."""
        self.finished()
        floor_id = self.poured_with_overuse()
        roof_id = self.ordered()
        garage_id, pour_id = self.supplied_short()
        self.in_design()
        Cutting(self.clerk, self.crew).tell(cut=garage_id, pour_id=pour_id, planned=roof_id)
        Received(self.clerk, self.crew).tell()
        Hiring(self.clerk, self.crew, floor_id=floor_id).tell()
        Billing(self.clerk, self.crew).tell()
        Buying(self.clerk, self.crew).tell()
        Gate(self.clerk, self.crew).tell()
        jobs = actors.for_jobs(self.crew.office.firm_id)
        needs_of_firm.derive(actor=jobs, now=self.clerk.today)
        planning.make_plan(actor=jobs, act=planning.PlanAct(), key="demo-plan", now=self.clerk.today)

    def finished(self) -> None:
        """Mill Terrace porch roof: poured four weeks ago, cured, account closed."""
        job, slab_id = self._billed("mill-terrace-porch", site="Mill Terrace", days=-45, pour_days=-28)
        bought = self.yard.buy(job, days=-38, wait=4)
        for n, (_supplier, order_id) in enumerate(bought.items(), start=1):
            self.yard.receive(job, order_id, days=-34, note=f"N-{3100 + n}")
        self.yard.issue(job, days=-29)
        self._poured(job, days=-28)
        heaps = {"sand": "0.2", "stone-20": "0.05", "stone-10": "0.35", "binding-wire": "0.5"}
        self.yard.close(job, days=-26, heaps=heaps)
        self.clerk.do(slabs.finish, SlabClosingAct(slab_id=slab_id), by=self.crew.office, days=-20)

    def poured_with_overuse(self) -> int:
        """Mill Terrace first floor: nine bags too many and two torn, poured a week ago."""
        job, slab_id = self._billed("mill-terrace-first-floor", site="Mill Terrace", days=-30, pour_days=-6)
        bought = self.yard.buy(job, days=-18, wait=4)
        more = self.yard.order(job, supplier=CEMENT, packs={"cement": 20}, days=-10, wait=2)
        for n, (_supplier, order_id) in enumerate(bought.items(), start=1):
            self.yard.receive(job, order_id, days=-14, note=f"N-{3200 + n}")
        self.yard.receive(job, more, days=-8, note="N-3209")
        self.yard.issue(job, days=-7, parts={"cement": 1.12})
        self.yard.waste(job, days=-7, code="cement", packs=2, reason="two bags torn in unloading")
        self._poured(job, days=-6)
        heaps = {"sand": "0.1", "stone-20": "0.45", "stone-10": "0.7", "binding-wire": "0.6"}
        self.yard.close(job, days=-4, heaps=heaps)
        self.yard.count(
            job, days=-3, code="cement", packs=1, why="lent to the wall builders, not written down"
        )
        return slab_id

    def ordered(self) -> int:
        """Ridge House roof: everything but the sundries ordered, steel and half the cement there."""
        job, slab_id = self._billed("roof-over-ridge-house", site="Ridge House", days=-14, pour_days=10)
        bought = self.yard.buy(job, days=-8, wait=5, only=(CEMENT, STEEL))
        self.yard.order(job, supplier=STONE, packs=self._stone(job), days=-2, wait=4)
        self.yard.receive(job, bought[STEEL], days=-4, note="N-3301")
        half = Found(job.needs.packs("cement", clerk=self.clerk) // 2)
        self.yard.receive(job, bought[CEMENT], days=-3, note="N-3302", differs={"cement": half})
        return slab_id

    def supplied_short(self) -> tuple[int, int]:
        """Ridge House garage roof: the pour is near, cement came short and wet, sand measured short."""
        job, slab_id = self._billed("garage-roof", site="Ridge House", days=-12, pour_days=4)
        bought = self.yard.buy(job, days=-7, wait=3)
        cement = job.needs.packs("cement", clerk=self.clerk)
        short = Found(cement - 5, rejected=4, reason="four bags wet and hard at the edges, sent back")
        self.yard.receive(job, bought[CEMENT], days=-3, note="N-3401", differs={"cement": short})
        sand = Found(job.needs.packs("sand", clerk=self.clerk) - 1)
        self.yard.receive(job, bought[STONE], days=-3, note="N-3402", differs={"sand": sand})
        self.yard.receive(job, bought[STEEL], days=-2, note="N-3403")
        self.yard.receive(job, bought[SUNDRIES], days=-2, note="N-3404")
        self.yard.issue_offline(job, days=-1, code="cement", packs=cement * 10)
        return slab_id, job.pour_id

    def in_design(self) -> None:
        """Dairy Store loading canopy: the sheet is entered, the checks have questions."""
        self._design("loading-canopy", site="Dairy Store", days=-2)

    def _stone(self, job: Job) -> dict[str, int]:
        return {c: job.needs.packs(c, clerk=self.clerk) for c in ("sand", "stone-20", "stone-10")}

    def _design(self, name: str, *, site: str, days: int) -> tuple[int, int]:
        office = self.crew.office
        sheet = clerks.sheet(name)
        act = SlabAct(site_id=self.crew.sites[site], name=sheet["slab"])
        slab = self.clerk.do(slabs.add, act, by=office, days=days)
        saved = self.clerk.do(designs.save, DesignAct(slab_id=slab.pk, sheet=sheet), by=office, days=days)
        return slab.pk, saved.pk

    def _billed(self, name: str, *, site: str, days: int, pour_days: int) -> tuple[Job, int]:
        office = self.crew.office
        slab_id, design_id = self._design(name, site=site, days=days)
        issue = BillAct(design_id=design_id, as_of=self.clerk.day(days), reason=STOP_ANSWER)
        bill = self.clerk.do(bills.issue, issue, by=office, days=days + 1)
        plan = PourAct(slab_id=slab_id, name="whole slab", pour_date=self.clerk.day(pour_days))
        pour = self.clerk.do(pours.plan, plan, by=office, days=days + 1)
        return Job(site=site, pour_id=pour.pk, needs=clerks.needs_of(office, bill_id=bill.pk)), slab_id

    def _poured(self, job: Job, *, days: int) -> None:
        act = PouredAct(pour_id=job.pour_id, poured_at=self.clerk.at(days, 14))
        self.clerk.do(pours.mark_poured, act, by=self.crew.site_of[job.site], days=days, hour=15)
