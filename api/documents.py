"""The OpenAPI document and its reader, for people who are signed in; everything is served from here."""

from __future__ import annotations

from typing import Any

from csp.constants import SELF
from csp.decorators import csp_update
from django.contrib.auth.decorators import login_required
from django.utils.decorators import method_decorator
from drf_spectacular.extensions import OpenApiAuthenticationExtension
from drf_spectacular.utils import extend_schema
from drf_spectacular.views import SpectacularAPIView, SpectacularSwaggerSplitView
from rest_framework.request import Request
from rest_framework.response import Response

from api import errors
from api.authentication import SessionOfPages
from api.resource import Resource
from projects.errors import NotFound


class SessionScheme(OpenApiAuthenticationExtension):
    """How the OpenAPI document states the session."""

    target_class = SessionOfPages
    name = "session"

    def get_security_definition(self, auto_schema: Any) -> dict[str, str]:
        """Return the cookie as an OpenAPI security scheme."""
        del auto_schema
        return {
            "type": "apiKey",
            "in": "cookie",
            "name": "sessionid",
            "description": (
                "The session of the sign-in page. Acts (everything but GET) also send the value of the "
                "csrftoken cookie in the X-CSRFToken header."
            ),
        }


class Document(SpectacularAPIView):
    """The OpenAPI document of this version."""


# The reader carries its small pictures within its style sheet.
READER_POLICY = {"img-src": [SELF, "data:"]}


@method_decorator(login_required, name="dispatch")
@method_decorator(csp_update(READER_POLICY), name="dispatch")
class Reader(SpectacularSwaggerSplitView):
    """The document as pages; its script is an address of its own, as the policy wants."""

    url_name = "api:schema"
    template_name = "api/reader.html"


class Nowhere(Resource):
    """Any other address of the API: the same answer as for what is not yours."""

    @extend_schema(exclude=True)
    def get(self, request: Request, rest: str) -> Response:
        del request, rest
        raise NotFound(errors.not_found().message)

    post = put = patch = delete = get
