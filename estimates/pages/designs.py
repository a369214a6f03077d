from __future__ import annotations

import uuid
from collections.abc import Mapping
from typing import Any

from babel import Locale
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from estimates.pages import design_form, design_typing
from estimates.queries import designs as design_rows
from estimates.queries import intakes
from estimates.services import designs
from estimates.services.designs import DesignAct
from projects.access.permissions import Permission
from projects.errors import Fault, Faulty
from projects.pages import doors, figures
from projects.queries import pours as slab_rows

LARGEST_FILE = 4_000_000
"""Bytes of an uploaded sheet: more than a slab with 2,000 bar marks needs."""

NOT_BOXES = frozenset({"csrfmiddlewaretoken", "key", "act", "more"})


@doors.with_permission(Permission.EDIT_DESIGNS)
def new(request: HttpRequest, slab_id: int) -> HttpResponse:
    """Enter a design by form; "preview" and "more rows" come back to the same form with nothing saved."""
    actor = doors.actor_of(request)
    slab = slab_rows.slab(actor, slab_id=slab_id)
    locale = figures.locale_for(actor.locale)
    if request.method != "POST":
        return _form(request, slab=slab, typed=_begun(request, slab=slab, locale=locale))
    typed = _typed(request)
    more = request.POST.get("more", "")
    if more:
        return _form(request, slab=slab, typed=typed, more=more)
    sheet, unread = design_typing.read(typed, locale=locale)
    if request.POST.get("act") == "preview":
        return _form(request, slab=slab, typed=typed, drawn=design_rows.drawable(sheet))
    faults = unread
    if not unread:
        try:
            return _saved(request, slab_id=slab.pk, sheet=sheet)
        except Faulty as refused:
            faults = refused.faults
    else:
        faults = _together(unread, design_rows.faults_of(sheet))
    return _form(
        request, slab=slab, typed=typed, faults=faults, drawn=design_rows.drawable(sheet), status=422
    )


@doors.with_permission(Permission.EDIT_DESIGNS)
@require_POST
def preview(request: HttpRequest, slab_id: int) -> HttpResponse:
    """The drawing beside the form, from what is typed so far."""
    actor = doors.actor_of(request)
    slab = slab_rows.slab(actor, slab_id=slab_id)
    sheet, _unread = design_typing.read(_typed(request), locale=figures.locale_for(actor.locale))
    context = {"drawn": design_rows.drawable(sheet), "slab": slab}
    return render(request, "estimates/partials/plan.html", context)


@doors.with_permission(Permission.EDIT_DESIGNS)
def sheet(request: HttpRequest, slab_id: int) -> HttpResponse:
    """Enter a design as a JSON sheet, pasted or from a file."""
    actor = doors.actor_of(request)
    slab = slab_rows.slab(actor, slab_id=slab_id)
    context: dict[str, Any] = {"slab": slab, "key": uuid.uuid4(), "title_block": _title_block(slab)}
    if request.method != "POST":
        return render(request, "estimates/design_sheet.html", context)
    text, faults = _sent_text(request)
    if not faults:
        found, faults = design_rows.data_of(text)
        if not faults:
            try:
                return _saved(request, slab_id=slab.pk, sheet=found)
            except Faulty as refused:
                faults = refused.faults
    context |= {"text": text, "faults": faults, "key": _key(request)}
    return render(request, "estimates/design_sheet.html", context, status=422)


@doors.signed_in
@require_safe
def sheet_file(request: HttpRequest, design_id: int) -> HttpResponse:
    """The saved sheet as a file that can be sent back."""
    actor = doors.actor_of(request)
    design = design_rows.one(actor, design_id=design_id)
    answer = JsonResponse(design.sheet, json_dumps_params={"indent": 2, "ensure_ascii": False})
    answer["Content-Disposition"] = f'attachment; filename="design-{design.pk}.json"'
    return answer


def _begun(request: HttpRequest, *, slab: Any, locale: Locale) -> dict[str, str]:
    """What the form starts from: files that were read, else the latest design, else the slab's name."""
    actor = doors.actor_of(request)
    asked = request.GET.get("intake", "")
    if asked.isascii() and asked.isdigit() and len(asked) < 19:
        return design_typing.written(
            intakes.sheet_for_form(actor, slab_id=slab.pk, intake_id=int(asked)), locale=locale
        )
    latest = design_rows.latest(actor, slab_id=slab.pk)
    fresh = {"slab": slab.name, "profile": actor.profile}
    typed = design_typing.written(latest.sheet, locale=locale) if latest else fresh
    return _with_mix(typed, carried=request.GET.dict())


def _with_mix(typed: Mapping[str, str], *, carried: Mapping[str, str]) -> dict[str, str]:
    """The boxes with a proportioned mix in place of the latest one's; nothing of it is saved yet."""
    mix = {path: text for path, text in carried.items() if path.startswith("mix.")}
    rest = {path: text for path, text in typed.items() if not (mix and path.startswith("mix."))}
    return design_typing.closed_up(rest | mix)


def _saved(request: HttpRequest, *, slab_id: int, sheet: Mapping[str, Any]) -> HttpResponse:
    act = DesignAct(slab_id=slab_id, sheet=sheet)
    actor = doors.actor_of(request)
    design = designs.save(actor=actor, act=act, key=str(_key(request)), now=timezone.now())
    messages.success(request, _("The design is saved. Look through its take-off, then issue the bill."))
    return redirect("estimates:design", design.pk)


def _form(  # noqa: PLR0913 - what the one template of the form takes
    request: HttpRequest,
    *,
    slab: Any,
    typed: Mapping[str, str],
    faults: tuple[Fault, ...] = (),
    more: str = "",
    drawn: Any = None,
    status: int = 200,
) -> HttpResponse:
    form = design_form.view(typed, faults=faults, more=more)
    context = {
        "slab": slab,
        "form": form,
        "too_large": form.is_too_large and request.method != "POST",
        "drawn": drawn or _drawn(request, typed=typed),
        "key": _key(request),
        "title_block": _title_block(slab),
    }
    return render(request, "estimates/design_new.html", context, status=status)


def _drawn(request: HttpRequest, *, typed: Mapping[str, str]) -> Any:
    actor = doors.actor_of(request)
    return design_rows.drawable(design_typing.read(typed, locale=figures.locale_for(actor.locale))[0])


def _typed(request: HttpRequest) -> dict[str, str]:
    boxes = {path: str(text) for path, text in request.POST.items() if path not in NOT_BOXES}
    return design_typing.closed_up(boxes)


def _key(request: HttpRequest) -> uuid.UUID:
    """The key of the act as the form carries it; a page that carries none gets a new one."""
    try:
        return uuid.UUID(request.POST.get("key", ""))
    except ValueError:
        return uuid.uuid4()


def _together(unread: tuple[Fault, ...], found: tuple[Fault, ...]) -> tuple[Fault, ...]:
    """Faults of the boxes first; what the sheet says of the same boxes is left out."""
    known = {fault.path for fault in unread}
    rest = [row for row in found if not any(row.path.startswith(path) for path in known)]
    return (*unread, *rest)


def _sent_text(request: HttpRequest) -> tuple[str, tuple[Fault, ...]]:
    upload = request.FILES.get("file")
    if upload is None:
        return request.POST.get("text", ""), ()
    if upload.size is None or upload.size > LARGEST_FILE:
        message = _("The file has %(size)s bytes; the most is %(most)s. Split the bar schedule.")
        params = {"size": upload.size, "most": LARGEST_FILE}
        return "", (Fault(path="", code="too_large", message=message % params),)
    try:
        return upload.read().decode("utf-8-sig"), ()
    except UnicodeDecodeError:
        message = _("The file is not text in UTF-8. Save it again as a JSON file.")
        return "", (Fault(path="", code="not_text", message=message),)


def _title_block(slab: Any) -> dict[str, Any]:
    return {"site": slab.site.name, "slab": slab.name, "document": _("Design")}
