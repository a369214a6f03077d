"""Bills of quantities: a priced take-off, frozen when issued, which is then the slab's budget."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Max
from django.utils.translation import gettext as _

from estimates.models import Bill, BillLine, Design
from estimates.queries import findings, standards, takeoffs
from estimates.queries.takeoffs import Priced, PricedLine
from estimates.services import needs
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused, Stale
from projects.models import Slab
from projects.services.acts import business_act

SHORTEST_REASON = 20
"""Characters: a reason that quotes the engineer is at least a short sentence."""


class MaterialsMissing(Refused):
    """The bill needs materials that the firm does not keep."""

    code = "materials_missing"


class RatesMissing(Refused):
    """The bill needs rates that are not set for its day."""

    code = "rates_missing"


class ReasonNeeded(Refused):
    """A check says stop; only a reason that quotes the engineer lets the bill be issued."""

    code = "reason_needed"


class NotLatest(Stale):
    """The slab has a newer design than the one that was looked at."""

    code = "not_latest_design"


@dataclass(frozen=True)
class BillAct:
    """Issue the bill of a design at the rates of a day; the reason answers the checks that say stop."""

    design_id: int
    as_of: date
    reason: str = ""


@business_act(result=Bill)
def issue(*, actor: Actor, act: BillAct, key: str, now: datetime) -> Bill:
    """Work out, price and freeze the bill of a slab's latest design, in the place of its earlier bill.

    Refused when the design is not the latest, a material or a rate is missing, or a check that says stop
    has no reason.
    """
    del key
    actor.require(Permission.ISSUE_BILLS)
    design = scope.get(Design.objects.select_related("slab__site__firm", "drawing"), actor, pk=act.design_id)
    Slab.objects.select_for_update().get(pk=design.slab_id)
    _require_latest(design)
    priced = takeoffs.of_design(actor, design=design, as_of=act.as_of)
    _require_complete(priced)
    found = findings.of_sheet(priced.sheet, profile=priced.profile)
    _require_reason(act.reason, stops=[row.text for row in found if row.stops])
    Bill.objects.filter(design__slab=design.slab_id, state=Bill.State.ISSUED).update(
        state=Bill.State.SUPERSEDED
    )
    bill = _freeze(priced, act=act, found=[row.as_dict() for row in found], actor=actor, now=now)
    needs.ask(actor, now=now)
    return bill


def _require_latest(design: Design) -> None:
    latest = Design.objects.filter(slab=design.slab_id).order_by("-number").first()
    if latest is not None and latest.pk != design.pk:
        message = _("Design %(number)s is not the latest; design %(latest)s is. Issue the bill of that one.")
        raise NotLatest(message % {"number": design.number, "latest": latest.number}, latest_id=latest.pk)


def _require_complete(priced: Priced) -> None:
    if priced.no_material:
        codes = ", ".join(priced.no_material)
        message = _("The firm does not keep these materials: %(codes)s. Add them under Materials first.")
        raise MaterialsMissing(message % {"codes": codes}, materials=list(priced.no_material))
    if priced.no_rate:
        names = ", ".join(row.name for row in priced.no_rate)
        message = _("There is no rate on %(day)s for: %(names)s. Set the rates first; 0 is a rate too.")
        params = {"day": priced.as_of.isoformat(), "names": names}
        raise RatesMissing(message % params, field="as_of", materials=[row.code for row in priced.no_rate])


def _require_reason(reason: str, *, stops: list[str]) -> None:
    if stops and len(reason.strip()) < SHORTEST_REASON:
        message = _(
            "The checks say stop: %(stops)s Correct the design, or write why the bill may be issued "
            "in at least %(least)s characters, with the engineer's name and words."
        )
        params = {"stops": " ".join(stops), "least": SHORTEST_REASON}
        raise ReasonNeeded(message % params, field="reason", stops=len(stops))


def _freeze(priced: Priced, *, act: BillAct, found: list[Any], actor: Actor, now: datetime) -> Bill:
    design, takeoff = priced.design, priced.takeoff
    profile = priced.profile
    last = Bill.objects.filter(design__slab=design.slab_id).aggregate(last=Max("number"))["last"]
    bill = Bill.objects.create(
        design=design,
        number=1 if last is None else last + 1,
        profile=profile.id,
        edition=profile.edition,
        standards_digest=profile.digest,
        drawing_number=design.drawing.number,
        drawing_revision=design.drawing.revision,
        findings=found,
        figures=standards.frozen(profile),
        reason=act.reason.strip(),
        total_minor=priced.total_minor,
        area_mm2=round(takeoff.slab_area_m2 * 1_000_000),
        volume_cm3=round(takeoff.concrete_m3 * 1_000_000),
        issued_by_id=actor.person_id,
        issued_at=now,
    )
    rows = [_line(row, bill=bill, position=at) for at, row in enumerate(priced.lines, start=1)]
    BillLine.objects.bulk_create(rows)
    return bill


def _line(row: PricedLine, *, bill: Bill, position: int) -> BillLine:
    return BillLine(
        bill=bill,
        position=position,
        key=row.line.key,
        member=row.line.member,
        derivation=row.line.as_dict(),
        material=row.material,
        net=row.net,
        allowance=row.allowance,
        rate=None if row.rate is None else row.rate.landed,
        rate_per="" if row.rate is None else row.rate.per,
        amount_minor=row.amount_minor,
    )
