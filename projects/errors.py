"""Errors that a user may be shown; each has a stable code for the API and a sentence for people."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar


class Refused(Exception):  # noqa: N818 - the word of the field: an act is refused, nothing broke
    """An act that was refused; nothing has changed.

    `message` says what is wrong and what to do; `field` names the input at fault; `params` are
    the numbers behind the message, for the API.
    """

    code: ClassVar[str] = "refused"
    status: ClassVar[int] = 400

    def __init__(self, message: str, *, field: str | None = None, **params: Any) -> None:
        super().__init__(message)
        self.message = str(message)
        self.field = field
        self.params = params


class NotFound(Refused):
    """The thing does not exist, or is not the actor's to see: the two look the same."""

    code = "not_found"
    status = 404


class NotAllowed(Refused):
    """The actor sees the thing but their role does not do this."""

    code = "not_allowed"
    status = 403


class KeyReused(Refused):
    """The key of an earlier act was sent again with other contents."""

    code = "key_reused"
    status = 422


class Stale(Refused):
    """The thing has moved on since the actor looked at it."""

    code = "stale"
    status = 409


@dataclass(frozen=True)
class Fault:
    """One fault of a design sheet or of an import: where, which, and what to do."""

    path: str
    code: str
    message: str


class Faulty(Refused):
    """Input with several faults; all of them are listed and nothing was saved."""

    code = "faulty_input"

    def __init__(self, message: str, *, faults: tuple[Fault, ...]) -> None:
        super().__init__(message)
        self.faults = faults
