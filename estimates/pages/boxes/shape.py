"""Boxes of the slab in plan and section: outline, openings, beams."""

from __future__ import annotations

from dataclasses import replace

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
        Box(
            path="outline",
            label=_("Corners"),
            kind=Kind.CORNERS,
            unit="mm",
            needed=False,
            hint=_("or the circle below"),
        ),
        replace(kinds.point("circle.centre", _("Middle of a circle")), needed=False, rare=True),
        replace(kinds.mm("circle.diameter_mm", _("Diameter"), needed=False), rare=True),
        replace(
            kinds.number(
                "circle.sides", _("Sides of the polygon"), needed=False, hint=_("64 when left open")
            ),
            rare=True,
            usual=64,
        ),
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
        Box(
            path="via",
            label=_("Bends between"),
            kind=Kind.CORNERS,
            unit="mm",
            needed=False,
            rare=True,
            hint=_("one place a line"),
        ),
        kinds.level("top_level_mm", _("Level of its top"), hint=_("empty: flush with the slab's top")),
    ),
)

FURTHER = Rows(
    folded=True,
    path="further_outlines",
    title=_("Further pieces of the slab"),
    hint=_("Pieces beside the first outline, of the same thickness and level."),
    one=_("Piece"),
    boxes=(
        Box(path="name", label=_("Name")),
        Box(path="outline", label=_("Corners"), kind=Kind.CORNERS, unit="mm"),
    ),
)

PANELS = Rows(
    folded=True,
    path="panels",
    title=_("Panels"),
    hint=_(
        "Parts with a thickness or level of their own: thickened, sunken, raised. "
        "With sides the line is the clear inside."
    ),
    one=_("Panel"),
    boxes=(
        Box(path="name", label=_("Name")),
        Box(path="outline", label=_("Corners"), kind=Kind.CORNERS, unit="mm"),
        kinds.mm("thickness_mm", _("Thickness")),
        replace(
            kinds.level("top_level_mm", _("Level of its top"), hint=_("−300 for sunk by 300; empty: level")),
            rare=False,
        ),
        kinds.mm("sides_mm", _("Sides"), needed=False),
    ),
)

UPSTANDS = Rows(
    folded=True,
    path="upstands",
    title=_("Upstands"),
    hint=_("Kerbs and parapet feet cast with the slab, by their centre lines."),
    one=_("Upstand"),
    boxes=(
        Box(path="name", label=_("Name")),
        Box(path="line", label=_("Line"), kind=Kind.CORNERS, unit="mm"),
        kinds.mm("width_mm", _("Width")),
        kinds.mm("height_mm", _("Height above its foot")),
        Box(path="closed", label=_("Returns to its start"), kind=Kind.CHECK, needed=False),
        kinds.level("foot_level_mm", _("Level of its foot"), hint=_("empty: on the slab's top")),
    ),
)

OVERHANGS = Rows(
    folded=True,
    path="overhangs",
    title=_("Overhangs"),
    hint=_("Parts of the slab that cantilever; their soffit is measured by itself."),
    one=_("Overhang"),
    boxes=(
        Box(path="name", label=_("Name")),
        Box(path="outline", label=_("Corners"), kind=Kind.CORNERS, unit="mm"),
    ),
)

SUNSHADES = Rows(
    folded=True,
    path="sunshades",
    title=_("Sunshades"),
    hint=_("Plates outside the slab, to the right of the way from start to end of their root."),
    one=_("Sunshade"),
    boxes=(
        Box(path="name", label=_("Name")),
        kinds.point("start", _("Root from")),
        kinds.point("end", _("Root to")),
        kinds.mm("projection_mm", _("Projection")),
        kinds.mm("thickness_mm", _("Thickness at the root")),
        replace(kinds.mm("tip_thickness_mm", _("Thickness at the tip"), needed=False), rare=True),
        kinds.level("top_level_mm", _("Level of its top")),
    ),
)

OUTLETS = Rows(
    folded=True,
    path="outlets",
    title=_("Outlets"),
    hint=_("Drains that the slab falls to; the fall is made in the formwork."),
    one=_("Outlet"),
    boxes=(
        Box(path="name", label=_("Name")),
        kinds.point("at", _("Place")),
        kinds.number("fall_one_in", _("Fall, one in")),
    ),
)

PARTS: tuple[Part | Rows, ...] = (
    SHAPE,
    OPENINGS,
    BEAMS,
    PANELS,
    FURTHER,
    UPSTANDS,
    OVERHANGS,
    SUNSHADES,
    OUTLETS,
)
