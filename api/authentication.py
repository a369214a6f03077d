"""Signing in over REST: the session of the web pages, with its CSRF token for every act."""

from __future__ import annotations

from django.utils.translation import gettext as _
from rest_framework import exceptions
from rest_framework.authentication import SessionAuthentication
from rest_framework.request import Request

from api.refusals import CsrfFailed


class SessionOfPages(SessionAuthentication):
    """The session cookie that the sign-in page sets; a stranger is answered 401, not 403."""

    def authenticate_header(self, request: Request) -> str:
        """Name the scheme, which makes the framework answer 401 to a stranger."""
        del request
        return 'Session realm="Pourtally"'

    def enforce_csrf(self, request: Request) -> None:
        """Refuse an act of a signed-in browser that does not carry the token of its session."""
        try:
            super().enforce_csrf(request)
        except exceptions.PermissionDenied as denied:
            message = _("Send the session's CSRF token in the X-CSRFToken header with every act.")
            raise CsrfFailed(message) from denied
