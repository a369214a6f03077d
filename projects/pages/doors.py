"""The door of every page: who is let in, and what a refusal looks like."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any

from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import NotFound, Refused

View = Callable[..., HttpResponse]


def actor_of(request: HttpRequest) -> Actor:
    """Return the actor that the middleware attached; only behind one of the doors below."""
    actor: Actor = request.actor  # type: ignore[attr-defined]  # the middleware's one addition to the request
    return actor


def signed_in(view: View) -> View:
    """Let signed-in members of a firm in; show refusals that the page itself did not handle."""

    @functools.wraps(view)
    def door(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        actor = getattr(request, "actor", None)
        if actor is None:
            if request.user.is_authenticated:
                return render(request, "projects/no_firm.html", status=403)
            return redirect_to_login(request.get_full_path())
        try:
            _require_text(request)
            return view(request, *args, **kwargs)
        except Refused as refused:
            return refusal(request, refused)

    return door


def _require_text(request: HttpRequest) -> None:
    """Refuse an address with NUL in it: no text has one, and no database can look for it."""
    if "\0" in request.path_info:
        raise NotFound(_("Not found. It may have been removed, or it is not one of yours."))
    if any("\0" in value for _name, values in request.GET.lists() for value in values):
        raise Refused(_("The address holds a character that no text has. Follow a link or type it again."))


def with_permission(permission: Permission) -> Callable[[View], View]:
    """Let in only actors with this permission, as `signed_in` does otherwise."""

    def decorate(view: View) -> View:
        @signed_in
        @functools.wraps(view)
        def door(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            actor_of(request).require(permission)
            return view(request, *args, **kwargs)

        return door

    return decorate


def refusal(request: HttpRequest, refused: Refused) -> HttpResponse:
    """Show a refusal as a page of its own."""
    template = {404: "404.html", 403: "403.html"}.get(refused.status, "400.html")
    return render(request, template, {"message": refused.message}, status=refused.status)
