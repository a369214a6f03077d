"""Boxes of the slab in plan and section: outline, openings, beams."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from estimates.pages.boxes import kinds
from estimates.pages.boxes.kinds import Box, Kind, Part, Rows

CORNERS_HINT = _("One corner a line, as 4000, 0; in order round the edge, the first not repeated.")

SHAPE = Part(
    title=_("Slab"),
    boxes=(
        Box(path="outline", label=_("Outline in plan"), kind=Kind.CORNERS, unit="mm", hint=CORNERS_HINT),
        kinds.mm("thickness_mm", _("Thickness")),
        kinds.mm("cover_mm", _("Cover of the slab's bars")),
        kinds.mm("beam_cover_mm", _("Cover of the beams' bars"), needed=False, hint=_("needed with beams")),
        Box(path="falls", label=_("Falls"), needed=False, hint=_("made in the formwork")),
    ),
)

OPENINGS = Rows(
    path="openings",
    title=_("Openings"),
    hint=_("Holes through the slab: stair, duct, hatch."),
    one=_("Opening"),
    boxes=(
        Box(path="name", label=_("Name")),
        Box(path="outline", label=_("Corners"), kind=Kind.CORNERS, unit="mm"),
    ),
)

BEAMS = Rows(
    path="beams",
    title=_("Beams cast with the slab"),
    hint=_("Depth over all, the slab included. Ends of the centre line as x, y."),
    one=_("Beam"),
    boxes=(
        Box(path="name", label=_("Name")),
        kinds.mm("width_mm", _("Width")),
        kinds.mm("depth_mm", _("Depth")),
        Box(path="start", label=_("From"), kind=Kind.POINT, unit="mm"),
        Box(path="end", label=_("To"), kind=Kind.POINT, unit="mm"),
    ),
)

PARTS: tuple[Part | Rows, ...] = (SHAPE, OPENINGS, BEAMS)
