"""What every answer carries, and the bell that tells the worker about new jobs."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse

from deploy import bell
from projects.services import outbox

Answer = Callable[[HttpRequest], HttpResponse]


def response_headers(get_response: Answer) -> Answer:
    """Permissions-Policy on every answer, and no copy kept of any answer given to somebody signed in."""

    def middleware(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        response.headers.setdefault("Permissions-Policy", settings.PERMISSIONS_POLICY)
        name = settings.SESSION_COOKIE_NAME
        if name in request.COOKIES or name in response.cookies:
            response.headers["Cache-Control"] = "no-store"
        return response

    return middleware


def ring_the_bell(get_response: Answer) -> Answer:
    """Ring once, after the acts of a request are committed, when one of them asked for a job."""

    def middleware(request: HttpRequest) -> HttpResponse:
        outbox.asked.set(False)
        response = get_response(request)
        if outbox.asked.get():
            bell.ring()
        return response

    return middleware
