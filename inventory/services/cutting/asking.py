"""Asking for a cutting plan: what is to be cut and from what is frozen, and a job works it out."""

from __future__ import annotations

import hashlib
import json
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field
from datetime import datetime
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from inventory.models import CuttingNeed, CuttingPlan
from inventory.queries.cutting import bars, needs
from inventory.queries.cutting.bars import Heap, Where
from inventory.queries.cutting.needs import Need, Wanted
from inventory.services import firm_days
from inventory.services.cutting import inputs, settings
from inventory.services.cutting.settings import SettingsAct
from inventory.services.loads import LONGEST_BAR_MM
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Fault, Faulty, Refused
from projects.models import Site
from projects.services import numbers, outbox
from projects.services.acts import business_act

JOB = "inventory.cut_plan"
MOST_MARKS = 2_000
MOST_LENGTHS = 12


class NothingToCut(Refused):
    """Nothing is left to cut for what was asked."""

    code = "nothing_to_cut"


class NotKept(Refused):
    """Pieces of a bar size and grade that the firm does not keep."""

    code = "not_kept"


class TooLong(Faulty):
    """Pieces that are longer than any bar that is there or can be bought; one fault for each mark."""

    code = "piece_too_long"


class BadLengths(Refused):
    """Lengths to buy that no mill delivers, or too many of them."""

    code = "bad_lengths"


class TooMuch(Refused):
    """More marks than one plan may have."""

    code = "too_many_marks"


@dataclass(frozen=True)
class AskAct:
    """A plan to make: where the bench stands, for what is cut, and which lengths may be bought.

    Without lengths those of the materials' packs may be bought; with none of them (an empty tuple), only
    what is in store is cut. `settings` wants otherwise than the firm's.
    """

    site_id: int
    slab_ids: tuple[int, ...] = ()
    pour_ids: tuple[int, ...] = ()
    site_ids: tuple[int, ...] = ()
    marks: tuple[str, ...] = ()
    buy_lengths_mm: tuple[int, ...] | None = None
    settings: SettingsAct = field(default_factory=SettingsAct)


@business_act(result=CuttingPlan)
def ask(*, actor: Actor, act: AskAct, key: str, now: datetime) -> CuttingPlan:
    """Freeze what a plan is made from and ask a worker for it; an open plan of the same inputs is returned.

    Refused when nothing is left to cut, a size is not kept, a piece is longer than any bar (all of them are
    named by mark), a slab has no bill, or a setting is out of bounds.
    """
    del key
    actor.require(Permission.PLAN_CUTTING)
    settings.require_bounds(act.settings)
    site = scope.get(Site.objects.select_for_update(no_key=True), actor, pk=act.site_id)
    wanted = _needs(actor, act=act)
    figures = settings.of_firm(actor, change=act.settings)
    where = Where(
        bench_site_id=site.pk,
        site_ids=frozenset(need.slab.site_id for need in wanted),
        offered_after_days=figures.offered_after_days,
        today=firm_days.of(now, actor=actor),
    )
    sizes = _sizes(wanted, heaps=bars.at_hand(actor, where=where), sold=_sold(actor, act=act, of=wanted))
    kept = {
        "cutting": asdict(figures),
        "buy_lengths_mm": act.buy_lengths_mm,
        "habit": settings.habit(actor),
    }
    digest = _digest({"sizes": sizes, "settings": kept, "site": site.pk})
    same = CuttingPlan.objects.filter(firm_id=actor.firm_id, fingerprint=digest, state__in=CuttingPlan.OPEN)
    plan = same.first()
    if plan is not None:
        return plan
    plan = CuttingPlan.objects.create(
        firm_id=actor.firm_id,
        site=site,
        number=numbers.next_number(firm_id=actor.firm_id, kind="CP", now=now),
        settings=kept,
        inputs={"sizes": sizes},
        fingerprint=digest,
        asked_by_id=actor.person_id,
        asked_at=now,
    )
    _write_needs(plan, sizes=sizes)
    outbox.ask(
        firm_id=actor.firm_id,
        job=JOB,
        key=f"{JOB}:{plan.pk}",
        payload={"firm_id": actor.firm_id, "plan_id": plan.pk},
        now=now,
        due_at=now,
    )
    return plan


def _needs(actor: Actor, *, act: AskAct) -> list[Need]:
    """Find what is left to cut; refused when that is nothing, too much, or of a size that is not kept."""
    asked = Wanted(slab_ids=act.slab_ids, pour_ids=act.pour_ids, site_ids=act.site_ids, marks=act.marks)
    found = needs.of(actor, wanted=asked)
    unknown = sorted(set(act.marks) - {need.mark for need in found})
    if unknown:
        message = _("There is no such mark: %(marks)s. Write marks as the schedule does.")
        raise NothingToCut(message % {"marks": ", ".join(unknown)}, field="marks", marks=unknown)
    left = [need for need in found if need.left]
    if not left:
        message = _("Nothing is left to cut: every piece of these schedules is cut, or in a plan under way.")
        raise NothingToCut(message if found else _("Choose a slab that has an issued bill with bars."))
    if len(left) > MOST_MARKS:
        message = _("%(count)s marks are more than one plan may have (%(most)s). Plan fewer slabs at once.")
        raise TooMuch(message % {"count": len(left), "most": MOST_MARKS})
    lacking = sorted({f"{need.size_mm} mm ({need.mark})" for need in left if need.material is None})
    if lacking:
        message = _("The firm does not keep these bars: %(bars)s. Add them under Materials first.")
        raise NotKept(message % {"bars": ", ".join(lacking)}, bars=lacking)
    return left


def _sold(actor: Actor, *, act: AskAct, of: Iterable[Need]) -> Mapping[int, list[int]]:
    """Return the lengths that may be bought, by material."""
    materials = {need.material.pk for need in of if need.material is not None}
    if act.buy_lengths_mm is None:
        return bars.lengths_sold(actor, material_ids=materials, longest_mm=LONGEST_BAR_MM)
    wrong = [one for one in act.buy_lengths_mm if not 0 < one <= LONGEST_BAR_MM]
    if wrong or len(act.buy_lengths_mm) > MOST_LENGTHS:
        message = _("Give at most %(most)s lengths to buy, each up to %(longest)s mm.")
        params = {"most": MOST_LENGTHS, "longest": LONGEST_BAR_MM}
        raise BadLengths(message % params, field="buy_lengths_mm", wrong=wrong)
    lengths = sorted(set(act.buy_lengths_mm), reverse=True)
    return dict.fromkeys(materials, lengths)


def _sizes(wanted: list[Need], *, heaps: list[Heap], sold: Mapping[int, list[int]]) -> list[dict[str, Any]]:
    """Put needs and stock together by size; refused with every piece that is longer than any bar."""
    by_material: defaultdict[int, list[Need]] = defaultdict(list)
    for need in wanted:
        assert need.material is not None  # noqa: S101 - _needs refuses sizes that are not kept
        by_material[need.material.pk].append(need)
    sizes, long = [], []
    for pk in sorted(by_material, key=lambda pk: (by_material[pk][0].size_mm, pk)):
        mine = [heap for heap in heaps if heap.lot.material_id == pk]
        size = inputs.of_size(by_material[pk], heaps=mine, sold=sold.get(pk, ()))
        longest = max((one["length_mm"] for one in size["stocks"]), default=0)
        long += [(need, longest) for need in by_material[pk] if need.length_mm > longest]
        sizes.append(size)
    if long:
        _refuse_long(long)
    return sizes


def _refuse_long(long: list[tuple[Need, int]]) -> None:
    said = [
        _("%(mark)s of %(slab)s, %(length)s mm of %(size)s mm (longest bar %(longest)s mm)")
        % {
            "mark": need.mark,
            "slab": need.slab.name,
            "length": need.length_mm,
            "size": need.size_mm,
            "longest": longest,
        }
        for need, longest in long
    ]
    message = ngettext(
        "One mark is longer than any bar: %(marks)s. Record the engineer's answer about a lap in the design, "
        "or buy longer bars.",
        "These marks are longer than any bar: %(marks)s. Record the engineer's answers about laps in the "
        "design, or buy longer bars.",
        len(long),
    )
    faults = tuple(
        Fault(path=need.mark, code=TooLong.code, message=words)
        for (need, _most), words in zip(long, said, strict=True)
    )
    raise TooLong(message % {"marks": "; ".join(said)}, faults=faults)


def _write_needs(plan: CuttingPlan, *, sizes: list[dict[str, Any]]) -> None:
    rows = [
        CuttingNeed(
            plan=plan,
            material_id=size["material_id"],
            slab_id=one["slab_id"],
            bill_id=one["bill_id"],
            mark=one["mark"],
            member=one["member"],
            shape=one["shape"],
            length_mm=one["length_mm"],
            count=one["count"],
        )
        for size in sizes
        for one in size["pieces"]
    ]
    for position, row in enumerate(rows, start=1):
        row.position = position
    CuttingNeed.objects.bulk_create(rows)


def _digest(of: Mapping[str, Any]) -> str:
    return hashlib.sha256(json.dumps(of, sort_keys=True).encode()).hexdigest()
