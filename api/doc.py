"""How resources state themselves in the OpenAPI document."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any

from django.http import HttpResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, extend_schema, inline_serializer
from rest_framework import serializers

from api.fields import Asked, Shown, Typed
from api.pagination import PageAsked
from api.resource import KEY_HEADER, REPLAYED_HEADER

Method = Callable[..., Any]


class FaultShown(serializers.Serializer[Any]):
    """One fault of the input."""

    path = serializers.CharField(help_text="Where, as lines[0].found; empty for the whole.")
    code = serializers.CharField(help_text="Stable.")
    message = serializers.CharField(help_text="What is wrong and what to do.")


class RefusalShown(serializers.Serializer[Any]):
    """A refusal: nothing has changed."""

    code = serializers.CharField(help_text="Stable; programs look at this alone.")
    message = serializers.CharField(help_text="For people: what is wrong and what to do.")
    field = serializers.CharField(allow_null=True, help_text="The input at fault, when it is one.")
    params = serializers.DictField(help_text="The figures behind the message.")
    faults = FaultShown(many=True, help_text="Every fault of the input, when it has several.")


REFUSALS = {
    400: "The input has faults (`faulty_input`, with `faults`), or the act is refused by its own code.",
    401: "Nobody is signed in.",
    403: "The role does not allow it (`not_allowed`), or the CSRF token is missing (`csrf_failed`).",
    404: "It does not exist or is not yours: the two look the same.",
    409: "It has moved on since it was looked at, or the name is taken.",
    422: "The key was used before for something else (`key_reused`).",
}

KEY = OpenApiParameter(
    name=KEY_HEADER,
    type=OpenApiTypes.STR,
    location=OpenApiParameter.HEADER,
    required=True,
    description="Made by the client before the first send and the same when it is sent again: done once.",
)
REPLAYED = OpenApiParameter(
    name=REPLAYED_HEADER,
    type=OpenApiTypes.STR,
    location=OpenApiParameter.HEADER,
    response=[200, 201],
    description="`true` when the act was done before under this key and this is its result again.",
)


def lists(
    name: str, *, shown: type[Shown], says: str, asks: type[Asked] = PageAsked
) -> Callable[[Method], Method]:
    """State a list that comes in pages."""
    return _extend(
        name, says=says, parameters=[asks], responses={200: page_of(shown)}, refusals=(400, 401, 403, 404)
    )


def reads(
    name: str, *, shown: type[Shown], says: str, asks: type[Asked] | None = None, many: bool = False
) -> Callable[[Method], Method]:
    """State a read of one thing, or of a list that is always short."""
    return _extend(
        name,
        says=says,
        parameters=[asks] if asks else [],
        responses={200: shown(many=many)},
        refusals=(400, 401, 403, 404),
    )


def reads_object(name: str, *, says: str) -> Callable[[Method], Method]:
    """State a read of one object whose fields are stated elsewhere."""
    return _extend(name, says=says, parameters=[], responses={200: OpenApiTypes.OBJECT}, refusals=(401, 403))


FILES = {
    "csv": "text/csv",
    "pdf": "application/pdf",
    "xml": "application/xml",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


def reads_file(
    name: str, *, kind: str, says: str, asks: type[Asked] | None = None
) -> Callable[[Method], Method]:
    """State a read that answers with a file to keep; `kind` is its ending."""
    return _extend(
        name,
        says=says,
        parameters=[asks] if asks else [],
        responses={(200, FILES[kind]): OpenApiTypes.BINARY},
        refusals=(400, 401, 403, 404),
    )


def file(name: str, *, content: bytes) -> HttpResponse:
    """Answer with a file to keep; its ending says what it is."""
    found = HttpResponse(content, content_type=FILES[name.rsplit(".", 1)[-1]])
    found["Content-Disposition"] = f'attachment; filename="{name}"'
    return found


def acts(
    name: str, *, shown: type[Shown], says: str, types: Any = None, made: bool = False
) -> Callable[[Method], Method]:
    """State an act: what is typed, what comes back, under which key."""
    return _extend(
        name,
        says=says,
        parameters=[KEY, REPLAYED],
        request=types,
        responses={201 if made else 200: shown},
        refusals=(400, 401, 403, 404, 409, 422),
    )


@functools.cache
def page_of(shown: type[Shown]) -> serializers.Serializer[Any]:
    """Return the shape of a page of these rows."""
    return inline_serializer(
        name=f"{shown.__name__.removesuffix('Shown')}Page",
        fields={
            "rows": shown(many=True),
            "after": serializers.CharField(
                allow_null=True, help_text="Asks for the next page; null at the end."
            ),
        },
    )


def _extend(
    name: str,
    *,
    says: str,
    parameters: list[Any],
    responses: dict[Any, Any],
    refusals: tuple[int, ...],
    request: type[Typed] | dict[str, Any] | None = None,
) -> Callable[[Method], Method]:
    refused = {code: OpenApiResponse(RefusalShown, description=REFUSALS[code]) for code in refusals}
    return extend_schema(
        operation_id=name,
        description=says,
        parameters=parameters,
        request=request,
        responses={**responses, **refused},
    )
