"""The answer when an answer could not be made: a fault of ours, or the database is away for a moment."""

import sqlite3
import sys

from django.db import InterfaceError, OperationalError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template import loader
from django.utils.translation import gettext as _

from api.errors import Refusal

RETRY_SECONDS = 10

# Of the many faults that SQLite calls operational, those that pass by themselves or with a free disk; a fault
# in a query is none of them. PostgreSQL calls operational only what concerns its operation.
_PASSING = {
    sqlite3.SQLITE_BUSY,
    sqlite3.SQLITE_LOCKED,
    sqlite3.SQLITE_READONLY,
    sqlite3.SQLITE_IOERR,
    sqlite3.SQLITE_FULL,
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_PROTOCOL,
}


def server_error(request: HttpRequest) -> HttpResponse:
    """503 with Retry-After while the database is away, else 500; in the API's shape below its address."""
    status = 503 if is_away(sys.exception()) else 500
    answer = _json(status) if request.path_info.startswith("/api/") else _page(status)
    if status == 503:
        answer["Retry-After"] = str(RETRY_SECONDS)
    return answer


def is_away(fault: BaseException | None) -> bool:
    """Whether a fault is that the database does not answer now."""
    if not isinstance(fault, OperationalError | InterfaceError):
        return False
    code = getattr(fault.__cause__, "sqlite_errorcode", None)
    if isinstance(fault.__cause__, sqlite3.Error):
        return code is not None and code & 0xFF in _PASSING
    return True


def _page(status: int) -> HttpResponse:
    return HttpResponse(loader.get_template(f"{status}.html").render(), status=status)


def _json(status: int) -> HttpResponse:
    if status == 503:
        code, message = "away", _("The database does not answer now. Send the same again in a moment.")
    else:
        code, message = "broken", _("Something broke on our side. Sending the same again counts once.")
    return JsonResponse(Refusal(status=status, code=code, message=message).body(), status=status)
