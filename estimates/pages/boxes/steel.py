"""Boxes of the reinforcement: bar schedule, bars at a spacing, methods."""

from __future__ import annotations

from dataclasses import replace

from django.utils.translation import gettext_lazy as _

from estimates.calc.sheet import types
from estimates.pages.boxes import kinds
from estimates.pages.boxes.kinds import Box, Choices, Kind, Part, Rows

SHAPES: Choices = (
    ("straight", _("straight")),
    ("l", _("one end bent")),
    ("u", _("both ends bent")),
    ("stirrup", _("closed stirrup")),
    ("cranked", _("cranked")),
)

BARS = Rows(
    path="bars",
    title=_("Bar schedule"),
    hint=_(
        "Dimensions out to out, in mm. Write the number per member as the schedule prints it, "
        "or leave it open and give the length over which the bars are spread and their spacing."
    ),
    one=_("Bar mark"),
    boxes=(
        Box(path="mark", label=_("Mark")),
        Box(path="member", label=_("Member")),
        kinds.number("size_mm", _("Size"), unit="mm"),
        kinds.choice("shape", _("Shape"), choices=SHAPES),
        kinds.mm("dimensions.A", "A", needed=False),
        kinds.mm("dimensions.B", "B", needed=False),
        kinds.mm("dimensions.C", "C", needed=False),
        kinds.number("per_member", _("Per member"), needed=False),
        kinds.number("members", _("Members"), needed=False),
        Box(path="remark", label=_("Remark"), needed=False),
        *(
            replace(box, needed=False, rare=True)
            for box in (
                kinds.mm("dimensions.D", "D"),
                kinds.mm("count_rule.length_mm", _("Spread over")),
                kinds.mm("count_rule.spacing_mm", _("Spacing")),
                kinds.methods("count_rule.method", _("Counting rule"), of=types.CountMethod),
                kinds.mm("count_rule.end_cover_mm", _("End cover")),
                Box(
                    path="cranks", label=_("Cranks"), kind=Kind.WHOLE_CHOICE, choices=(("1", "1"), ("2", "2"))
                ),
                Box(
                    path="crank_angle_deg",
                    label=_("Crank angle"),
                    kind=Kind.WHOLE_CHOICE,
                    choices=(("30", "30°"), ("45", "45°"), ("60", "60°")),
                ),
                kinds.choice("ends", _("Ends point"), choices=(("up", _("up")), ("down", _("down")))),
            )
        ),
    ),
)

SPACING_RULES = Rows(
    path="spacing_rules",
    title=_("Bars at a spacing"),
    hint=_("Straight bars over the whole slab, or over a region given by its corners."),
    one=_("Rule"),
    boxes=(
        Box(path="mark", label=_("Mark")),
        kinds.number("size_mm", _("Size"), unit="mm"),
        kinds.choice("direction", _("Run along"), choices=(("x", "x"), ("y", "y"))),
        kinds.mm("spacing_mm", _("Spacing")),
        kinds.choice("layer", _("Layer"), choices=(("bottom", _("bottom")), ("top", _("top")))),
        Box(path="remark", label=_("Remark"), needed=False),
        Box(path="region", label=_("Region"), kind=Kind.CORNERS, unit="mm", needed=False, rare=True),
        replace(kinds.mm("end_cover_mm", _("End cover"), needed=False), rare=True),
    ),
)

METHODS = Part(
    title=_("Methods of the bar schedule"),
    hint=_("Empty for the profile's own."),
    boxes=(
        kinds.methods("steel_methods.count", _("Counting"), of=types.CountMethod),
        kinds.methods("steel_methods.bend", _("Bends"), of=types.BendMethod),
        kinds.methods("steel_methods.stirrup", _("Stirrups"), of=types.StirrupMethod),
        kinds.methods("steel_methods.crank", _("Cranks"), of=types.CrankMethod),
        kinds.methods("steel_methods.length_rounding", _("Rounding of lengths"), of=types.LengthRounding),
    ),
)

PARTS: tuple[Part | Rows, ...] = (BARS, SPACING_RULES)
