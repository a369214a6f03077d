"""Boxes of what holds the bars in their place: chairs and cover blocks."""

from __future__ import annotations

from dataclasses import replace

from django.utils.translation import gettext_lazy as _

from estimates.pages.boxes import kinds
from estimates.pages.boxes.kinds import Box, Kind, Part, Rows

CHAIRS = Rows(
    path="supports.chairs",
    title=_("Chairs"),
    hint=_(
        "Bent bars under the top bars. What is left empty follows from the bars at a spacing and from "
        "practice, and the line shows how."
    ),
    one=_("Chairs"),
    boxes=(
        Box(path="mark", label=_("Mark")),
        kinds.number("size_mm", _("Size"), unit="mm"),
        kinds.number("per_m2", _("To the m²"), needed=False),
        kinds.number("number", _("Number printed"), needed=False),
        *(
            replace(box, needed=False, rare=True)
            for box in (
                kinds.mm("height_mm", _("Height")),
                kinds.mm("head_mm", _("Head")),
                kinds.mm("foot_mm", _("Foot")),
                Box(path="region", label=_("Region"), kind=Kind.CORNERS, unit="mm"),
            )
        ),
    ),
)

COVER_BLOCKS = Part(
    title=_("Cover blocks"),
    hint=_("Left empty, none are taken off."),
    boxes=(
        kinds.choice(
            "supports.cover_blocks.by",
            _("Number"),
            choices=(("practice", _("by practice")), ("stated", _("as stated here"))),
            needed=False,
        ),
        kinds.number("supports.cover_blocks.per_m2", _("To the m² of slab"), needed=False),
        kinds.mm("supports.cover_blocks.beam_spacing_mm", _("Sets along a beam every"), needed=False),
    ),
)

PARTS: tuple[Part | Rows, ...] = (CHAIRS, COVER_BLOCKS)
