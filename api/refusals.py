"""What only the API refuses."""

from __future__ import annotations

from projects.errors import Refused


class KeyRequired(Refused):
    """An act without the key that makes it safe to send again."""

    code = "key_required"


class CsrfFailed(Refused):
    """A signed-in browser sent an act without the token of its session."""

    code = "csrf_failed"
    status = 403


class NoFirm(Refused):
    """The person is signed in and belongs to no firm."""

    code = "no_firm"
    status = 403
