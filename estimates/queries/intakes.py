"""Files for a slab's design: what was found in them, what is open, and the sheet that they begin."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, get_args

from django.db.models import Prefetch, QuerySet
from django.utils.translation import gettext as _

from estimates.calc.intake import draft, files, shape_words
from estimates.calc.intake.draft import Begun
from estimates.calc.intake.files import FileFound
from estimates.calc.intake.plan import Plan
from estimates.calc.intake.schedule import BarRow, Schedule
from estimates.calc.sheet import types
from estimates.models import Intake, IntakeFile
from estimates.queries import designs, standards
from projects.access import scope
from projects.access.actor import Actor
from projects.errors import NotFound


@dataclass(frozen=True, kw_only=True)
class IntakeSheet:
    """An intake with what its files give: of each kind the latest file counts."""

    intake: Intake
    files: tuple[IntakeFile, ...]
    plan: Plan | None
    schedule: Schedule | None
    begun: Begun
    rows: tuple[BarView, ...]


@dataclass(frozen=True, kw_only=True)
class BarView:
    """A row of a bar schedule as read, and what becomes of it."""

    row: BarRow
    shape: str
    taken: bool
    left_out: bool


def of_slab(actor: Actor, *, slab_id: int) -> QuerySet[Intake]:
    """Return a slab's intakes, the latest first, with their files but not the files' contents."""
    found = scope.visible(Intake.objects.filter(slab=slab_id), actor).select_related("created_by")
    return found.prefetch_related(_files()).order_by("-id")


def one(actor: Actor, *, intake_id: int) -> IntakeSheet:
    """Return an intake with what its files give; refused with NotFound when it is not the actor's."""
    found = Intake.objects.select_related("slab__site__firm").prefetch_related(_files())
    intake = scope.get(found, actor, pk=intake_id)
    plan, schedule, _sheet = _latest(intake)
    begins = begun(actor, intake=intake)
    return IntakeSheet(
        intake=intake,
        files=tuple(intake.files.all()),
        plan=plan,
        schedule=schedule,
        begun=begins,
        rows=_rows(schedule, begun=begins, answers=intake.answers),
    )


def file(actor: Actor, *, file_id: int) -> IntakeFile:
    """Return a file as it was received; refused with NotFound when it is not the actor's."""
    return scope.get(IntakeFile.objects.all(), actor, pk=file_id)


def begun(actor: Actor, *, intake: Intake) -> Begun:
    """Return the design sheet that an intake's files and answers begin, by the firm's own figures."""
    plan, schedule, sheet = _latest(intake)
    profile = standards.of_firm(actor, profile_id=_profile(intake, sheet=sheet))
    found = draft.begin(plan=plan, schedule=schedule, answers=intake.answers, profile=profile)
    return found if sheet is None else draft.over(sheet, begun=found)


def sheet_for_form(actor: Actor, *, slab_id: int, intake_id: int) -> Mapping[str, Any]:
    """Return the sheet to go on with in the form: the slab's latest design, and over it what the files say.

    A field of which the files say nothing stays as the latest design has it; a drawing of another number or
    revision takes no date or engineer from it. Refused with NotFound for another slab's files.
    """
    found = one(actor, intake_id=intake_id)
    if found.intake.slab_id != slab_id:
        raise NotFound(_("Not found. It may have been removed, or it is not one of yours."))
    latest = designs.latest(actor, slab_id=found.intake.slab_id)
    fresh = {"slab": found.intake.slab.name, "profile": actor.profile}
    base: dict[str, Any] = dict(latest.sheet) if latest else fresh
    said = dict(found.begun.sheet)
    if "steel_methods" in said:
        said["steel_methods"] = base.get("steel_methods", {}) | said["steel_methods"]
    drawing = said.get("drawing")
    if drawing is not None and latest is not None:
        same = all(base["drawing"].get(name) == value for name, value in drawing.items())
        said["drawing"] = {**base["drawing"], **drawing} if same else drawing
    return base | said


def millimetres(text: str) -> float | None:
    """Return a length in mm as typed, or None when it is none or out of bounds."""
    try:
        value = float(text.strip())
    except ValueError:
        return None
    return value if 1 <= value <= types.MAX_COORDINATE_MM else None


def _files() -> Prefetch[str]:
    return Prefetch("files", queryset=IntakeFile.objects.defer("content").order_by("id"))


def _latest(intake: Intake) -> tuple[Plan | None, Schedule | None, Mapping[str, Any] | None]:
    plan: Plan | None = None
    schedule: Schedule | None = None
    sheet: Mapping[str, Any] | None = None
    for row in (
        intake.files.defer("content").order_by("id") if not _prefetched(intake) else intake.files.all()
    ):
        found: FileFound = files.of_data(row.found)
        plan = found.plan or plan
        schedule = found.schedule or schedule
        sheet = found.sheet or sheet
    return plan, schedule, sheet


def _prefetched(intake: Intake) -> bool:
    return "files" in getattr(intake, "_prefetched_objects_cache", {})


def _profile(intake: Intake, *, sheet: Mapping[str, Any] | None) -> str:
    """The profile of a design sheet among the files, else the firm's."""
    said = sheet.get("profile") if sheet else None
    return str(said if said in get_args(types.ProfileId) else intake.slab.site.firm.profile)


def _rows(schedule: Schedule | None, *, begun: Begun, answers: Mapping[str, str]) -> tuple[BarView, ...]:
    if schedule is None:
        return ()
    taken, left_out = set(begun.lines), set(begun.left_out)
    return tuple(
        BarView(
            row=row,
            shape=shape_words.answer_for(row, schedule=schedule, answers=answers),
            taken=row.line in taken,
            left_out=row.line in left_out,
        )
        for row in schedule.rows
    )
