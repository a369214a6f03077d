"""The refusal of a saved design that today's standards data cannot work out."""

from __future__ import annotations

from django.utils.translation import gettext_lazy

from projects.errors import Refused

UNWORKABLE = gettext_lazy(
    "This design no longer fits the standards data: %(why)s. Enter it again as a new design."
)


class Unworkable(Refused):
    """A saved design that the standards data or the packs of today cannot work out."""

    code = "design_unworkable"
    status = 409
