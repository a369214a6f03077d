"""Boxes of the reinforcement: bar schedule, bars at a spacing, methods."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from django.utils.translation import gettext_lazy as _

from estimates.calc.sheet import types
from estimates.pages.boxes import kinds
from estimates.pages.boxes.kinds import Box, Choices, Kind, Part, Rows
from estimates.standards import catalogues

WORDS: Choices = (
    ("straight", _("straight")),
    ("l", _("one end bent")),
    ("u", _("both ends bent")),
    ("chair", _("chair")),
    ("stirrup", _("closed stirrup")),
    ("cranked", _("cranked")),
    ("hook_one", _("straight, a hook at one end")),
    ("hook_both", _("straight, hooks at both ends")),
    ("bend_one", _("straight, a short bend at one end")),
    ("bend_both", _("straight, short bends at both ends")),
)
CODES: Choices = (
    *((code, f"{code} · BS 8666") for code in get_args(types.ShapeBs8666)),
    *((code, f"{code} · ACI 315") for code in get_args(types.ShapeAci315)),
)
SHAPES: Choices = (*WORDS, *CODES)
RARE_LETTERS = ("D", "E", "F", "G", "H", "J", "K", "R")

SIZE = Box(path="size_mm", label=_("Size"), kind=Kind.BAR, unit="mm")
"""A size in millimetres, or by its name where the profile has one, as #5."""

BARS = Rows(
    path="bars",
    title=_("Bar schedule"),
    hint=_(
        "Dimensions out to out, in mm. A shape is a word, or a code of the catalogue named under the "
        "methods. Write the number per member as the schedule prints it, "
        "or leave it open and give the length over which the bars are spread and their spacing."
    ),
    one=_("Bar mark"),
    boxes=(
        Box(path="mark", label=_("Mark")),
        Box(path="member", label=_("Member")),
        SIZE,
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
                *(kinds.mm(f"dimensions.{letter}", letter) for letter in RARE_LETTERS),
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
                Box(
                    path="bundle",
                    label=_("In bundles of"),
                    kind=Kind.WHOLE_CHOICE,
                    choices=(("2", "2"), ("3", "3"), ("4", "4")),
                ),
                kinds.choice("ends", _("Ends point"), choices=(("up", _("up")), ("down", _("down")))),
            )
        ),
    ),
)

SPACING_RULES = Rows(
    path="spacing_rules",
    title=_("Bars at a spacing"),
    hint=_(
        "Straight bars over the whole slab, or over a region given by its corners. Where alternate bars are "
        "bent up, every second one gets a mark of its own."
    ),
    one=_("Rule"),
    boxes=(
        Box(path="mark", label=_("Mark")),
        SIZE,
        kinds.choice("direction", _("Run along"), choices=(("x", "x"), ("y", "y"), ("both", _("both")))),
        kinds.mm("spacing_mm", _("Spacing")),
        kinds.choice("layer", _("Layer"), choices=(("bottom", _("bottom")), ("top", _("top")))),
        Box(path="remark", label=_("Remark"), needed=False),
        Box(path="region", label=_("Region"), kind=Kind.CORNERS, unit="mm", needed=False, rare=True),
        *(
            replace(box, needed=False, rare=True)
            for box in (
                kinds.mm("end_cover_mm", _("End cover")),
                kinds.number("angle_deg", _("Turned by"), unit="°"),
                kinds.number("number", _("Number printed")),
                kinds.choice(
                    "first_bar",
                    _("First bar"),
                    choices=(
                        ("spread_evenly", _("all spread evenly")),
                        ("at_cover", _("at the cover")),
                        ("half_spacing", _("half a space in")),
                    ),
                ),
                kinds.mm("shorter_mm", _("Every second one shorter by")),
                Box(path="every_second.mark", label=_("Every second one cranked, mark")),
                kinds.mm("every_second.rise_mm", _("Height of the crank")),
                Box(
                    path="every_second.cranks",
                    label=_("Cranks"),
                    kind=Kind.WHOLE_CHOICE,
                    choices=(("1", "1"), ("2", "2")),
                ),
                Box(
                    path="every_second.angle_deg",
                    label=_("Crank angle"),
                    kind=Kind.WHOLE_CHOICE,
                    choices=(("30", "30°"), ("45", "45°"), ("60", "60°")),
                ),
                kinds.choice(
                    "use", _("Use"), choices=(("main", _("main")), ("distribution", _("distribution")))
                ),
            )
        ),
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
        kinds.methods("steel_methods.hook", _("Hooked and bent ends"), of=types.HookMethod),
        kinds.methods("steel_methods.wire", _("Binding wire"), of=types.WireMethod),
        kinds.methods("steel_methods.length_rounding", _("Rounding of lengths"), of=types.LengthRounding),
        kinds.choice(
            "steel_methods.catalogue",
            _("Shape codes are read by"),
            choices=tuple((name, catalogues.load(name).title) for name in get_args(types.ShapeCatalogue)),
            needed=False,
        ),
    ),
)

FABRICS = Rows(
    path="fabrics",
    title=_("Welded fabric"),
    hint=_("A layer of sheets, as A252, over the whole slab or a region given by its corners."),
    one=_("Layer"),
    boxes=(
        Box(path="mark", label=_("Mark")),
        Box(path="fabric", label=_("Fabric")),
        kinds.choice("along", _("Long side along"), choices=(("x", "x"), ("y", "y"))),
        kinds.choice("layer", _("Layer"), choices=(("bottom", _("bottom")), ("top", _("top")))),
        kinds.number("sheets", _("Sheets"), needed=False),
        kinds.mm("lap_mm", _("Lap"), needed=False),
        Box(path="remark", label=_("Remark"), needed=False),
        Box(path="region", label=_("Region"), kind=Kind.CORNERS, unit="mm", needed=False, rare=True),
        replace(kinds.methods("lap", _("Rule of the laps"), of=types.FabricLap), rare=True),
        replace(kinds.methods("count", _("Counted"), of=types.FabricCount), rare=True),
    ),
)

PARTS: tuple[Part | Rows, ...] = (BARS, SPACING_RULES, FABRICS)
