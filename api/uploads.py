"""Files in the body of an act: as a form with files, or as JSON in base64."""

from __future__ import annotations

import base64
import binascii
from typing import Any

from django.utils.translation import gettext_lazy as _
from rest_framework import serializers
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request

from api.fields import Typed, listed
from api.parsers import StrictJson

PARSERS = (MultiPartParser, StrictJson)
"""A form with files, or JSON for small ones."""

MOST = 6


class Base64(serializers.CharField):
    """The content of a file in base64."""

    default_error_messages = {"not_base64": _("This is not base64.")}

    def to_internal_value(self, data: Any) -> Any:
        """Return the bytes."""
        text = super().to_internal_value(data)
        try:
            return base64.b64decode(text, validate=True)
        except (binascii.Error, ValueError):
            self.fail("not_base64")


class FileTyped(Typed):
    name = serializers.CharField(max_length=200, help_text="With its ending, which must fit the content.")
    content = Base64(help_text="Base64. Larger files are sent as a form, multipart/form-data.")


class FilesTyped(Typed):
    files = listed(FileTyped, most=MOST)


FILES_DOCUMENT: dict[str, Any] = {
    "multipart/form-data": {
        "type": "object",
        "properties": {"files": {"type": "array", "items": {"type": "string", "format": "binary"}}},
        "required": ["files"],
    },
    "application/json": FilesTyped,
}
"""How a body with files is stated in the document."""


def of_form(request: Request, *, largest: int) -> list[tuple[str, bytes]]:
    """Return names and contents of a form's files; one over the limit is not read beyond it."""
    return [(str(file.name or ""), file.read(largest + 1)) for file in request.FILES.getlist("files")]
