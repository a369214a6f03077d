"""Every refusal over REST has one shape: code, message, field, params, faults; and never a stack trace."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.utils.translation import gettext as _
from rest_framework import exceptions
from rest_framework.response import Response
from rest_framework.views import set_rollback

from projects.errors import Fault, Faulty, NotAllowed, NotFound, Refused

WHOLE_BODY = "non_field_errors"


@dataclass(frozen=True)
class Refusal:
    """A refusal as it is sent."""

    status: int
    code: str
    message: str
    field: str | None = None
    params: Mapping[str, Any] | None = None
    faults: tuple[Fault, ...] = ()

    def body(self) -> dict[str, Any]:
        """Return the refusal as JSON data."""
        return {
            "code": self.code,
            "message": self.message,
            "field": self.field,
            "params": {name: _plain(value) for name, value in (self.params or {}).items()},
            "faults": [{"path": f.path, "code": f.code, "message": str(f.message)} for f in self.faults],
        }


def handle(raised: Exception, context: dict[str, Any]) -> Response | None:
    """Answer a refusal; None for anything else, which the server then reports as its own failure."""
    del context
    refusal = _refusal(raised)
    if refusal is None:
        return None
    set_rollback()
    answer = Response(refusal.body(), status=refusal.status)
    for header in ("auth_header", "wait"):
        value = getattr(raised, header, None)
        if value:
            answer["WWW-Authenticate" if header == "auth_header" else "Retry-After"] = str(value)
    return answer


def not_found() -> Refusal:
    """Return the refusal of what does not exist and of what is not the actor's: the same for both."""
    message = _("Not found. It may have been removed, or it is not one of yours.")
    return Refusal(status=404, code=NotFound.code, message=message)


def _refusal(raised: Exception) -> Refusal | None:
    if isinstance(raised, NotFound | Http404 | exceptions.NotFound):
        return not_found()
    if isinstance(raised, Refused):
        return _of_refused(raised)
    if isinstance(raised, exceptions.ValidationError):
        return _of_validation(raised)
    if isinstance(raised, PermissionDenied | exceptions.PermissionDenied):
        message = _("Your role does not allow this. Ask the office or the owner of the firm.")
        return Refusal(status=403, code=NotAllowed.code, message=message)
    if isinstance(raised, exceptions.APIException):
        code = raised.get_codes()
        return Refusal(
            status=raised.status_code,
            code=code if isinstance(code, str) else "refused",
            message=str(raised.detail),
        )
    return None


def _of_refused(refused: Refused) -> Refusal:
    return Refusal(
        status=refused.status,
        code=refused.code,
        message=refused.message,
        field=refused.field,
        params=refused.params,
        faults=refused.faults if isinstance(refused, Faulty) else (),
    )


def _of_validation(raised: exceptions.ValidationError) -> Refusal:
    faults = tuple(_faults(raised.get_full_details(), path=""))
    return Refusal(
        status=400,
        code=Faulty.code,
        message=_("The input has faults; nothing was saved."),
        field=faults[0].path or None if faults else None,
        faults=faults,
    )


def _faults(details: Any, *, path: str) -> Iterator[Fault]:
    """Flatten what the serializers found to one list, each with its path, such as lines[0].found."""
    if isinstance(details, Mapping) and set(details) == {"message", "code"}:
        yield Fault(path=path, code=str(details["code"]), message=str(details["message"]))
    elif isinstance(details, Mapping):
        for name, inner in details.items():
            yield from _faults(inner, path=_step(path, name))
    elif isinstance(details, Sequence):
        for index, inner in enumerate(details):
            leaf = isinstance(inner, Mapping) and set(inner) == {"message", "code"}
            yield from _faults(inner, path=path if leaf else f"{path}[{index}]")


def _step(path: str, name: str | int) -> str:
    if name == WHOLE_BODY:
        return path
    if isinstance(name, int):
        return f"{path}[{name}]"
    return f"{path}.{name}" if path else str(name)


def _plain(value: Any) -> Any:
    return value if isinstance(value, bool | int | float | str | None) else str(value)
