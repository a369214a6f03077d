"""Attached files: the row where the actor may see it, and its content from the disk."""

from __future__ import annotations

from django.core.files.storage import default_storage
from django.utils.translation import gettext as _

from projects.errors import NotFound
from projects.models import Attachment


def content(attachment: Attachment) -> bytes:
    """Return a file's content; NotFound when the disk has lost it. The caller has found the row visible."""
    try:
        with default_storage.open(attachment.stored) as file:
            return bytes(file.read())
    except FileNotFoundError:
        message = _("The file is no longer on the disk. Put the uploads back from the last copy.")
        raise NotFound(message) from None
