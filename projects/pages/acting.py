"""How a form page does one act: ask, do, say what was done, and go on; a refusal keeps what was typed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlsplit

from django.contrib import messages
from django.forms import ChoiceField
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme

from projects.errors import NotAllowed, NotFound, Refused
from projects.pages.forms import ActForm, SheetForm


@dataclass(frozen=True)
class Sheet:
    """The words round a form: the heading, the button, what is said afterwards, and the way back.

    `more` is what a template of its own shows below the form.
    """

    heading: str
    button: str
    said: str
    back: str
    lead: str = ""
    template: str = "projects/act.html"
    more: Mapping[str, Any] = field(default_factory=dict)


def page(
    request: HttpRequest,
    *,
    sheet: Sheet,
    form: Callable[..., ActForm],
    do: Callable[..., Any],
    initial: dict[str, Any] | None = None,
    done: Callable[[Any], str] | None = None,
) -> HttpResponse:
    """Show the form, or do the act with what was typed and go on.

    `do(typed, key=, now=)` calls one service; `done(result)` names the next page, else the way back.
    """
    if request.method != "POST":
        return _show(request, sheet=sheet, form=form(initial=initial), status=200)
    # A form without boxes for files looks at no files.
    filled = form(request.POST, request.FILES) if request.FILES else form(request.POST)
    if not filled.is_valid():
        return _show(request, sheet=sheet, form=filled, status=422)
    typed = dict(filled.cleaned_data)
    key = str(typed.pop("key"))
    try:
        result = do(typed, key=key, now=timezone.now())
    except (NotFound, NotAllowed):
        raise
    except Refused as refused:
        filled.refuse(refused)
        return _show(request, sheet=sheet, form=filled, status=422)
    messages.success(request, sheet.said)
    return redirect(done(result) if done else sheet.back)


def offer(form: SheetForm, *, field: str, choices: list[tuple[Any, str]]) -> None:
    """Fill a choice of the form with rows that the actor may choose from."""
    chooser = form.fields[field]
    if not isinstance(chooser, ChoiceField):
        message = f"{field} of {type(form).__name__} is no choice"
        raise TypeError(message)
    chooser.choices = choices


def offering(
    made: type[ActForm], *, offers: Mapping[str, list[tuple[Any, str]]], **given: Any
) -> Callable[..., ActForm]:
    """Return what makes the form with its choices filled; `given` goes to the form each time."""

    def form(*args: Any, **kwargs: Any) -> ActForm:
        filled = made(*args, **given, **kwargs)
        for name, choices in offers.items():
            offer(filled, field=name, choices=choices)
        return filled

    return form


def way_back(request: HttpRequest, *, otherwise: str) -> str:
    """Return the page of this service that the form was opened from."""
    asked = request.POST.get("next") or request.GET.get("next") or ""
    safe = url_has_allowed_host_and_scheme(asked, allowed_hosts=None, require_https=request.is_secure())
    return asked if asked and safe and not urlsplit(asked).netloc else otherwise


def _show(request: HttpRequest, *, sheet: Sheet, form: ActForm, status: int) -> HttpResponse:
    named = {"document": sheet.heading}
    context = {"sheet": sheet, "form": form, "next": way_back(request, otherwise=""), "title_block": named}
    return render(request, sheet.template, context, status=status)
