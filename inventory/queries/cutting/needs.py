"""Which pieces the issued bills still ask for, mark by mark, less what is cut or promised to a plan."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import F, Sum
from django.utils.translation import gettext as _

from estimates.calc.reading import reader as sheets
from estimates.calc.steel import schedule
from estimates.calc.steel.marks import Mark
from estimates.calc.steel.schedule import Schedule
from estimates.models import Bill, Material
from estimates.queries import standards
from inventory.models import CuttingNeed, CuttingPlan, PatternPiece
from projects.access import scope
from projects.access.actor import Actor
from projects.errors import Refused
from projects.models import Pour, Slab

WHOLE_PPM = 1_000_000
NOISE_MM = 1e-6

Place = tuple[int, str, int]
"""Slab, mark and length [mm]: what tells pieces apart."""


class NoBill(Refused):
    """A slab without an issued bill, or whose bill no longer fits the standards data."""

    code = "no_bill"
    status = 409


class MarksNeeded(Refused):
    """A pour that is a part of its slab: the schedule does not say which bars lie in it."""

    code = "marks_needed"


@dataclass(frozen=True)
class Wanted:
    """For what is cut: slabs, pours and whole sites; with `marks`, only those of one slab."""

    slab_ids: tuple[int, ...] = ()
    pour_ids: tuple[int, ...] = ()
    site_ids: tuple[int, ...] = ()
    marks: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Need:
    """Pieces of one mark and length of a slab; `count` by the bill, `taken` cut or promised already."""

    slab: Slab
    bill: Bill
    mark: str
    member: str
    shape: str
    material: Material | None
    size_mm: int
    length_mm: int
    count: int
    taken: int

    @property
    def left(self) -> int:
        """Pieces still to be cut."""
        return self.count - self.taken if self.count > self.taken else 0


def of(actor: Actor, *, wanted: Wanted) -> list[Need]:
    """List what is to be cut for slabs, pours and sites, in the order of slab and schedule.

    Refused for a slab without a bill (`no_bill`), and for a pour that is a part of its slab when no marks are
    named (`marks_needed`). A slab of a site that is poured, finished or has no bill is left out.
    """
    slabs = _slabs(actor, wanted=wanted)
    done = taken(actor, slab_ids=slabs.keys())
    kept = list(scope.visible(Material.objects.exclude(size_mm=None), actor).order_by("code", "id"))
    steel = {(row.size_mm, row.grade): row for row in reversed(kept)}
    found = []
    for slab, bill in slabs.values():
        grade = str(bill.design.sheet.get("steel_grade"))
        for (mark, length), (row, count) in _pieces(actor, bill).items():
            if wanted.marks and mark not in wanted.marks:
                continue
            found.append(
                Need(
                    slab=slab,
                    bill=bill,
                    mark=mark,
                    member=row.member,
                    shape=row.shape,
                    material=steel.get((row.size_mm, grade)),
                    size_mm=row.size_mm,
                    length_mm=length,
                    count=count,
                    taken=done.get((slab.pk, mark, length), 0),
                )
            )
    return found


def slabs_to_cut(actor: Actor) -> list[Slab]:
    """List the slabs that a plan can be made for: not finished, and with an issued bill."""
    rows = scope.visible(Slab.objects.filter(closed_at=None), actor)
    rows = rows.filter(designs__bills__state=Bill.State.ISSUED).select_related("site").distinct()
    return list(rows.order_by("site__name", "name", "pk"))


def taken(actor: Actor, *, slab_ids: Iterable[int]) -> dict[Place, int]:
    """Count the pieces of slabs that are cut, or promised to a plan that is being cut."""
    found: defaultdict[Place, int] = defaultdict(int)
    place = ("slab_id", "mark", "length_mm")
    rows = CuttingNeed.objects.filter(slab_id__in=list(slab_ids), plan__firm_id=actor.firm_id)
    promised = rows.filter(plan__state=CuttingPlan.State.RESERVED)
    for slab_id, mark, length, count in promised.values_list(*place, "count"):
        found[slab_id, mark, length] += count
    ended = (CuttingPlan.State.DONE, CuttingPlan.State.CANCELLED)
    cut = PatternPiece.objects.filter(need__in=rows.filter(plan__state__in=ended), pattern__done__gt=0)
    columns = tuple(f"need__{name}" for name in place)
    sums = cut.values_list(*columns).annotate(n=Sum(F("per_bar") * F("pattern__done")))
    for slab_id, mark, length, count in sums.order_by(*columns):
        found[slab_id, mark, length] += count
    return dict(found)


def by_mark(worked: Schedule) -> dict[tuple[str, int], tuple[Mark, int]]:
    """Return the pieces of a schedule by mark and cutting length, rounded up to whole millimetres."""
    found: dict[tuple[str, int], tuple[Mark, int]] = {}
    for row in worked.marks:
        for piece in row.pieces:
            length = math.ceil(piece.length_mm - NOISE_MM)
            _mark, before = found.get((row.mark, length), (row, 0))
            found[row.mark, length] = (row, before + piece.count)
    return {key: pair for key, pair in found.items() if pair[1] > 0}


def _slabs(actor: Actor, *, wanted: Wanted) -> dict[int, tuple[Slab, Bill]]:
    """Find the slabs that are meant, each with its issued bill."""
    named = dict.fromkeys((*wanted.slab_ids, *_slabs_of_pours(actor, wanted=wanted)))
    of_sites = scope.visible(Slab.objects.filter(site_id__in=wanted.site_ids, closed_at=None), actor)
    bills = {
        bill.design.slab_id: bill
        for bill in scope.visible(Bill.objects.filter(state=Bill.State.ISSUED), actor)
        .select_related("design__slab__site", "design__drawing")
        .order_by("issued_at", "id")
    }
    found = {}
    for slab_id in named:
        slab = scope.get(Slab.objects.select_related("site"), actor, pk=slab_id)
        if slab.pk not in bills:
            message = _("%(slab)s has no issued bill. Issue its bill first: the plan cuts to it.")
            raise NoBill(message % {"slab": slab.name}, field="slabs", slab=slab.name)
        found[slab.pk] = (slab, bills[slab.pk])
    of_sites = of_sites.select_related("site").prefetch_related("pours")
    for slab in of_sites.order_by("site__name", "name", "pk"):
        if slab.pk in bills and _to_come(slab):
            found.setdefault(slab.pk, (slab, bills[slab.pk]))
    return found


def _slabs_of_pours(actor: Actor, *, wanted: Wanted) -> list[int]:
    found = []
    for pour_id in wanted.pour_ids:
        pour = scope.get(Pour.objects.select_related("slab"), actor, pk=pour_id)
        if pour.share_ppm != WHOLE_PPM and not wanted.marks:
            message = _(
                "%(pour)s is a part of its slab, and the schedule does not say which bars lie in it. "
                "Name the marks to cut."
            )
            raise MarksNeeded(message % {"pour": pour}, field="marks", pour=str(pour))
        found.append(pour.slab_id)
    return found


def _to_come(slab: Slab) -> bool:
    pours = list(slab.pours.all())
    return not pours or any(pour.state == Pour.State.PLANNED for pour in pours)


def _pieces(actor: Actor, bill: Bill) -> dict[tuple[str, int], tuple[Mark, int]]:
    """Work the frozen schedule out: pieces by mark and cutting length.

    Refused when the standards data of today give the marks another mass than the bill has frozen.
    """
    try:
        sheet = sheets.read(bill.design.sheet)
        worked = schedule.compute(sheet, profile=standards.of_firm(actor, profile_id=sheet.profile))
    except ValueError as fault:
        message = _("The design of %(slab)s no longer fits the standards data: %(why)s. Enter it again.")
        params = {"slab": bill.design.slab.name, "why": str(fault)}
        raise NoBill(message % params, field="slabs") from fault
    lines = bill.lines.filter(key__startswith="steel.mark.")
    frozen = {line.key: line.derivation.get("net") for line in lines}
    for row in worked.marks:
        kept = frozen.get(f"steel.mark.{row.mark}")
        if kept is not None and not math.isclose(kept, row.mass_kg, rel_tol=1e-6, abs_tol=1e-6):
            message = _(
                "The bill of %(slab)s was made by other standards data: mark %(mark)s has changed. "
                "Issue it again."
            )
            raise NoBill(message % {"slab": bill.design.slab.name, "mark": row.mark}, field="slabs")
    return by_mark(worked)
