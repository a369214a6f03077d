"""Files of the engineer's office: sent, shown as they were understood, and asked about."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from estimates.calc.intake import limits, sketch
from estimates.calc.intake.found import Question
from estimates.documents import bar_template
from estimates.pages import tables
from estimates.queries import intakes as rows
from estimates.queries.intakes import IntakeSheet
from estimates.services.intake import intakes
from estimates.services.intake.intakes import AnswersAct, IntakeAct, SentFile
from projects.access.permissions import Permission
from projects.errors import Fault, Faulty, NotAllowed, NotFound, Refused
from projects.pages import doors
from projects.queries import pours as slab_rows

CHOICE, TYPED = "choice:", "typed:"


@dataclass(frozen=True)
class QuestionView:
    """A question with what was answered, or is proposed while it is not."""

    question: Question
    number: int
    chosen: str
    typed: str
    answered: bool

    @property
    def id(self) -> str:
        """Its id on the page."""
        return f"question-{self.number}"


@doors.with_permission(Permission.EDIT_DESIGNS)
def of_slab(request: HttpRequest, slab_id: int) -> HttpResponse:
    """Send files for a slab, and go on with earlier ones."""
    actor = doors.actor_of(request)
    slab = slab_rows.slab(actor, slab_id=slab_id)
    faults: tuple[Fault, ...] = ()
    if request.method == "POST":
        try:
            intake = intakes.receive(
                actor=actor,
                act=IntakeAct(slab_id=slab.pk, files=_sent(request)),
                key=_key(request),
                now=timezone.now(),
            )
        except (NotFound, NotAllowed):
            raise
        except Refused as refused:
            faults = _faults(refused)
        else:
            return redirect("estimates:intake", intake.pk)
    context = {
        "slab": slab,
        "faults": faults,
        "key": _key(request),
        "largest": limits.FILE_BYTES // 1_000_000,
        "earlier": rows.of_slab(actor, slab_id=slab.pk)[:20],
        "crumbs": _crumbs(slab),
        "title_block": {"site": slab.site.name, "slab": slab.name, "document": _("Files")},
    }
    return render(request, "estimates/intakes.html", context, status=422 if faults else 200)


@doors.with_permission(Permission.EDIT_DESIGNS)
def one(request: HttpRequest, intake_id: int) -> HttpResponse:
    """What was understood, and the questions; answers are kept as they are, the rest stays open."""
    actor = doors.actor_of(request)
    sheet = rows.one(actor, intake_id=intake_id)
    if request.method != "POST":
        return _page(request, sheet=sheet)
    act = AnswersAct(intake_id=sheet.intake.pk, answers=_answers(request, sheet=sheet))
    try:
        intakes.answer(actor=actor, act=act, key=_key(request), now=timezone.now())
    except (NotFound, NotAllowed):
        raise
    except Refused as refused:
        return _page(request, sheet=sheet, faults=_faults(refused))
    found = rows.one(actor, intake_id=intake_id)
    if found.begun.ready:
        messages.success(request, _("The answers are kept. Nothing is open: go on to the design."))
    else:
        messages.success(request, _("The answers are kept. Answer what is still open."))
    return redirect("estimates:intake", sheet.intake.pk)


@doors.with_permission(Permission.EDIT_DESIGNS)
@require_POST
def more(request: HttpRequest, intake_id: int) -> HttpResponse:
    """Send further files: the drawing that was missing, or a corrected schedule."""
    actor = doors.actor_of(request)
    sheet = rows.one(actor, intake_id=intake_id)
    act = IntakeAct(intake_id=sheet.intake.pk, files=_sent(request))
    try:
        intakes.receive(actor=actor, act=act, key=_key(request), now=timezone.now())
    except (NotFound, NotAllowed):
        raise
    except Refused as refused:
        return _page(request, sheet=sheet, faults=_faults(refused))
    messages.success(request, _("The files are read. The latest drawing and the latest schedule count."))
    return redirect("estimates:intake", sheet.intake.pk)


@doors.with_permission(Permission.EDIT_DESIGNS)
@require_safe
def as_received(request: HttpRequest, file_id: int) -> HttpResponse:
    """A file as it was received, to keep."""
    found = rows.file(doors.actor_of(request), file_id=file_id)
    answer = HttpResponse(bytes(found.content), content_type="application/octet-stream")
    answer["Content-Disposition"] = f'attachment; filename="file-{found.pk}.{found.kind}"'
    return answer


@doors.signed_in
@require_safe
def template(request: HttpRequest) -> HttpResponse:
    """An empty bar schedule to fill in."""
    del request
    return tables.file(bar_template.NAME, content=bar_template.content())


def _page(request: HttpRequest, *, sheet: IntakeSheet, faults: tuple[Fault, ...] = ()) -> HttpResponse:
    intake, slab = sheet.intake, sheet.intake.slab
    views = _views(request, sheet=sheet)
    context: dict[str, Any] = {
        "sheet": sheet,
        "slab": slab,
        "faults": faults,
        "key": _key(request),
        "drawn": sketch.draw(sheet.plan, answers=intake.answers) if sheet.plan else None,
        "needed": [view for view in views if view.question.needed and not view.answered],
        "further": [view for view in views if not view.question.needed and not view.answered],
        "answered": [view for view in views if view.answered],
        "letters": sorted({letter for view in sheet.rows for letter in view.row.dimensions}),
        "spaced": any(view.row.spacing for view in sheet.rows),
        "remarked": any(view.row.remark for view in sheet.rows),
        "largest": limits.FILE_BYTES // 1_000_000,
        "crumbs": [
            *_crumbs(slab),
            {"url": reverse("estimates:intakes", args=[slab.pk]), "label": _("Files")},
        ],
        "title_block": {"site": slab.site.name, "slab": slab.name, "document": _("Files")},
    }
    return render(request, "estimates/intake.html", context, status=422 if faults else 200)


def _views(request: HttpRequest, *, sheet: IntakeSheet) -> list[QuestionView]:
    found = []
    for number, question in enumerate(sheet.begun.questions, start=1):
        kept = sheet.intake.answers.get(question.id, "")
        said = kept or question.suggested
        values = {choice.value for choice in question.choices}
        chosen, typed = (said, "") if said in values else ("", said)
        found.append(
            QuestionView(
                question=question,
                number=number,
                chosen=request.POST.get(CHOICE + question.id, chosen),
                typed=request.POST.get(TYPED + question.id, typed),
                answered=bool(kept),
            )
        )
    return found


def _answers(request: HttpRequest, *, sheet: IntakeSheet) -> dict[str, str]:
    """What was chosen or typed for each question on the page; what was typed counts before a choice."""
    found = {}
    for question in sheet.begun.questions:
        if CHOICE + question.id in request.POST or TYPED + question.id in request.POST:
            typed = request.POST.get(TYPED + question.id, "").strip()
            found[question.id] = typed or request.POST.get(CHOICE + question.id, "")
    return found


def _sent(request: HttpRequest) -> tuple[SentFile, ...]:
    """The files of the form; one over the limit is not taken into memory beyond it."""
    uploads = request.FILES.getlist("files")
    return tuple(
        SentFile(name=str(upload.name or ""), content=upload.read(limits.FILE_BYTES + 1))
        for upload in uploads
    )


def _faults(refused: Refused) -> tuple[Fault, ...]:
    if isinstance(refused, Faulty):
        return refused.faults
    return (Fault(path="", code=refused.code, message=refused.message),)


def _key(request: HttpRequest) -> str:
    """The key of the act as the form carries it; a page that carries none gets a new one."""
    try:
        return str(uuid.UUID(request.POST.get("key", "")))
    except ValueError:
        return str(uuid.uuid4())


def _crumbs(slab: Any) -> list[dict[str, str]]:
    return [
        {"url": reverse("estimates:slabs"), "label": _("Slabs")},
        {"url": reverse("estimates:slab", args=[slab.pk]), "label": slab.name},
    ]
