"""What every resource shares: who asks, what was asked or typed, and the answer of an act done once."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from typing import Any, ClassVar

from django.utils import timezone
from django.utils.translation import gettext as _
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from api.fields import Asked, Shown, Typed
from api.pagination import Keyed
from api.permissions import actor_of
from api.refusals import KeyRequired
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.queries import keys

KEY_HEADER = "Idempotency-Key"
REPLAYED_HEADER = "Idempotent-Replayed"
KEY = re.compile(r"[A-Za-z0-9_.:~-]{8,100}")


class Resource(APIView):
    """One address: a read is one query, an act is one service call.

    `reading_needs` is asked of who reads; what an act needs is asked by its service.
    """

    reading_needs: ClassVar[Permission | None] = None

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        """Let in who may read here."""
        super().initial(request, *args, **kwargs)
        if request.method == "GET" and self.reading_needs is not None:
            self.actor.require(self.reading_needs)

    @property
    def actor(self) -> Actor:
        """Who asks; the permission has let nobody else in."""
        found = actor_of(self.request)
        assert found is not None  # noqa: S101 - SignedIn stands before every resource
        return found

    @property
    def today(self) -> date:
        """The firm's day; the middleware has set its time zone."""
        return timezone.localdate()

    def asked(self, form: type[Asked]) -> dict[str, Any]:
        """Read the query string; refused with every fault of it."""
        read = form(data=self.request.query_params.dict())
        read.is_valid(raise_exception=True)
        return dict(read.validated_data)

    def typed(self, form: type[Typed]) -> dict[str, Any]:
        """Read the body; refused with every fault of it."""
        read = form(data=self.request.data)
        read.is_valid(raise_exception=True)
        return dict(read.validated_data)

    def show(self, row: Any, *, as_: type[Shown], many: bool = False) -> Response:
        """Answer with one row, or with a list that is always short."""
        return Response(as_(row, many=many, context={"actor": self.actor}).data)

    def page(self, found: Keyed, *, as_: type[Shown]) -> Response:
        """Answer with a page of rows and the address of the next page, null at the end."""
        shown = as_(found.rows, many=True, context={"actor": self.actor})
        return Response({"rows": shown.data, "after": found.after or None})

    def do(
        self,
        service: Callable[..., Any],
        *,
        act: Any,
        read: Callable[[int], Any] | None = None,
        as_: type[Shown],
        made: bool = False,
    ) -> Response:
        """Do an act once under the client's key and answer with its result, as `read` finds it by its id.

        The same act sent again gives the first result, and a header says so.
        """
        key, now = self._key(), timezone.now()
        row = service(actor=self.actor, act=act, key=key, now=now)
        replayed = keys.first_used_at(self.actor, key=key) != now
        answer = self.show(read(row.pk) if read else row, as_=as_)
        answer.status_code = status.HTTP_201_CREATED if made else status.HTTP_200_OK
        if replayed:
            answer[REPLAYED_HEADER] = "true"
        return answer

    def _key(self) -> str:
        key = self.request.headers.get(KEY_HEADER, "")
        if not KEY.fullmatch(key):
            message = _(
                "Send a key of your own making in the Idempotency-Key header: 8 to 100 letters, digits or "
                "_ . : ~ -, new for each act and the same when you send it again."
            )
            raise KeyRequired(message, field=KEY_HEADER)
        return key
