"""Boxes of the drawing that the slab is built to."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from estimates.pages.boxes import kinds
from estimates.pages.boxes.kinds import Box, Kind, Part, Rows

DRAWING = Part(
    title=_("Drawing"),
    boxes=(
        Box(path="drawing.number", label=_("Drawing number"), hint=_("for example RH-S-04")),
        Box(path="drawing.revision", label=_("Revision"), needed=False),
        Box(path="drawing.dated", label=_("Date of the revision"), kind=Kind.DATE),
        Box(path="drawing.engineer", label=_("Engineer"), needed=False),
        Box(path="slab", label=_("Slab as the drawing calls it")),
        kinds.choice(
            "profile",
            _("Standards"),
            choices=(
                ("is", _("Indian")),
                ("en", _("European and British")),
                ("aci", _("American")),
            ),
            hint=_("lengths may also be typed in feet and inches, as 12'-6 1/2\", and bars as #4"),
        ),
    ),
)

PARTS: tuple[Part | Rows, ...] = (DRAWING,)
