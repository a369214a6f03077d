"""The boxes of the design form: each stands for one field of the design sheet and is named by its path."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import get_args

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from estimates.calc.sheet import types

Label = str | Promise
Choices = tuple[tuple[str, Label], ...]


class Kind(StrEnum):
    """How what is typed in a box is read."""

    TEXT = "text"
    LONG = "long"
    NUMBER = "number"
    DATE = "date"
    CHOICE = "choice"
    WHOLE_CHOICE = "whole choice"
    CHECK = "check"
    POINT = "point"
    CORNERS = "corners"


@dataclass(frozen=True, kw_only=True)
class Box:
    """One box: `path` is its place in the sheet, in a row the place below the row.

    A `rare` box of a row is folded away until it is used.
    """

    path: str
    label: Label
    kind: Kind = Kind.TEXT
    unit: str = ""
    hint: Label = ""
    choices: Choices = ()
    needed: bool = True
    rare: bool = False


@dataclass(frozen=True, kw_only=True)
class Rows:
    """A table of the form: a list of the sheet with the same boxes in each row."""

    path: str
    title: Label
    hint: Label
    one: Label
    boxes: tuple[Box, ...]


@dataclass(frozen=True, kw_only=True)
class Part:
    """A titled part of the form; `only` names the kind of mix for which it counts."""

    title: Label
    boxes: tuple[Box, ...]
    hint: Label = ""
    only: str = ""


def _mm(path: str, label: Label, *, hint: Label = "", needed: bool = True) -> Box:
    return Box(path=path, label=label, kind=Kind.NUMBER, unit="mm", hint=hint, needed=needed)


def _number(path: str, label: Label, *, unit: str = "", hint: Label = "", needed: bool = True) -> Box:
    return Box(path=path, label=label, kind=Kind.NUMBER, unit=unit, hint=hint, needed=needed)


def _choice(path: str, label: Label, *, choices: Choices, needed: bool = True, hint: Label = "") -> Box:
    return Box(path=path, label=label, kind=Kind.CHOICE, choices=choices, needed=needed, hint=hint)


def _methods(path: str, label: Label, *, of: object) -> Box:
    names = tuple((name, name.replace("_", " ")) for name in get_args(of))
    return _choice(path, label, choices=names, needed=False)


DRAWING = Part(
    title=_("Drawing"),
    boxes=(
        Box(path="drawing.number", label=_("Drawing number"), hint=_("for example RH-S-04")),
        Box(path="drawing.revision", label=_("Revision"), needed=False),
        Box(path="drawing.dated", label=_("Date of the revision"), kind=Kind.DATE),
        Box(path="drawing.engineer", label=_("Engineer"), needed=False),
        Box(path="slab", label=_("Slab as the drawing calls it")),
    ),
)

CORNERS_HINT = _("One corner a line, as 4000, 0; in order round the edge, the first not repeated.")

SHAPE = Part(
    title=_("Slab"),
    boxes=(
        Box(path="outline", label=_("Outline in plan"), kind=Kind.CORNERS, unit="mm", hint=CORNERS_HINT),
        _mm("thickness_mm", _("Thickness")),
        _mm("cover_mm", _("Cover of the slab's bars")),
        _mm("beam_cover_mm", _("Cover of the beams' bars"), needed=False, hint=_("needed with beams")),
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
        _mm("width_mm", _("Width")),
        _mm("depth_mm", _("Depth")),
        Box(path="start", label=_("From"), kind=Kind.POINT, unit="mm"),
        Box(path="end", label=_("To"), kind=Kind.POINT, unit="mm"),
    ),
)

CONCRETE = Part(
    title=_("Concrete"),
    boxes=(
        Box(path="grade", label=_("Concrete grade"), hint=_("for example M20")),
        Box(path="steel_grade", label=_("Steel grade"), hint=_("for example Fe500")),
        _choice(
            "exposure",
            _("Exposure"),
            choices=(
                ("mild", _("mild")),
                ("moderate", _("moderate")),
                ("severe", _("severe")),
                ("very_severe", _("very severe")),
                ("extreme", _("extreme")),
            ),
        ),
        _choice(
            "mix.kind",
            _("Mix"),
            choices=(
                ("nominal_volume", _("nominal, by volume")),
                ("designed", _("designed by the engineer, in kg/m³")),
            ),
        ),
    ),
)

NOMINAL = Part(
    title=_("Nominal mix"),
    only="nominal_volume",
    boxes=(
        _number("mix.parts[0]", _("Parts of cement")),
        _number("mix.parts[1]", _("Parts of sand")),
        _number("mix.parts[2]", _("Parts of stone")),
        _number("mix.water_cement", _("Water to cement, by mass")),
        _number("mix.stone_split.20", _("Stone of 20 mm"), unit="%", needed=False),
        _number("mix.stone_split.10", _("Stone of 10 mm"), unit="%", needed=False),
        _choice(
            "mix.mixing",
            _("Mixed by"),
            choices=(("machine", _("machine")), ("hand", _("hand"))),
            needed=False,
        ),
        Box(
            path="mix.method",
            label=_("Named method"),
            needed=False,
            hint=_("parts into quantities; empty for the profile's own"),
        ),
    ),
)

DESIGNED = Part(
    title=_("Designed mix"),
    only="designed",
    hint=_("Per cubic metre of concrete, aggregates saturated and surface-dry."),
    boxes=(
        _number("mix.cement_kg_m3", _("Cement"), unit="kg/m³"),
        _number("mix.water_kg_m3", _("Free water"), unit="kg/m³"),
        _number("mix.sand_kg_m3", _("Sand"), unit="kg/m³"),
        _number("mix.stone_kg_m3.20", _("Stone of 20 mm"), unit="kg/m³", needed=False),
        _number("mix.stone_kg_m3.10", _("Stone of 10 mm"), unit="kg/m³", needed=False),
        _number("mix.sand_bulk_kg_m3", _("Bulk density of sand"), unit="kg/m³"),
        _number("mix.stone_bulk_kg_m3.20", _("Bulk density of 20 mm stone"), unit="kg/m³", needed=False),
        _number("mix.stone_bulk_kg_m3.10", _("Bulk density of 10 mm stone"), unit="kg/m³", needed=False),
    ),
)

ADMIXTURES = Rows(
    path="mix.admixtures",
    title=_("Admixtures"),
    hint=_("Nominal mix: dose per bag. Designed mix: dose per cubic metre and density."),
    one=_("Admixture"),
    boxes=(
        _choice(
            "material",
            _("Material"),
            choices=(("waterproofer", _("waterproofing compound")), ("plasticiser", _("plasticiser"))),
        ),
        _number("dose_ml_per_bag", _("Dose per bag"), unit="ml", needed=False),
        _number("bag_kg", _("Bag"), unit="kg", needed=False),
        _number("dose_kg_m3", _("Dose"), unit="kg/m³", needed=False),
        _number("density_kg_l", _("Density"), unit="kg/L", needed=False),
    ),
)

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
        _number("size_mm", _("Size"), unit="mm"),
        _choice("shape", _("Shape"), choices=SHAPES),
        _mm("dimensions.A", "A", needed=False),
        _mm("dimensions.B", "B", needed=False),
        _mm("dimensions.C", "C", needed=False),
        _number("per_member", _("Per member"), needed=False),
        _number("members", _("Members"), needed=False),
        Box(path="remark", label=_("Remark"), needed=False),
        *(
            replace(box, needed=False, rare=True)
            for box in (
                _mm("dimensions.D", "D"),
                _mm("count_rule.length_mm", _("Spread over")),
                _mm("count_rule.spacing_mm", _("Spacing")),
                _methods("count_rule.method", _("Counting rule"), of=types.CountMethod),
                _mm("count_rule.end_cover_mm", _("End cover")),
                Box(
                    path="cranks", label=_("Cranks"), kind=Kind.WHOLE_CHOICE, choices=(("1", "1"), ("2", "2"))
                ),
                Box(
                    path="crank_angle_deg",
                    label=_("Crank angle"),
                    kind=Kind.WHOLE_CHOICE,
                    choices=(("30", "30°"), ("45", "45°"), ("60", "60°")),
                ),
                _choice("ends", _("Ends point"), choices=(("up", _("up")), ("down", _("down")))),
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
        _number("size_mm", _("Size"), unit="mm"),
        _choice("direction", _("Run along"), choices=(("x", "x"), ("y", "y"))),
        _mm("spacing_mm", _("Spacing")),
        _choice("layer", _("Layer"), choices=(("bottom", _("bottom")), ("top", _("top")))),
        Box(path="remark", label=_("Remark"), needed=False),
        Box(path="region", label=_("Region"), kind=Kind.CORNERS, unit="mm", needed=False, rare=True),
        replace(_mm("end_cover_mm", _("End cover"), needed=False), rare=True),
    ),
)

METHODS = Part(
    title=_("Methods of the bar schedule"),
    hint=_("Empty for the profile's own."),
    boxes=(
        _methods("steel_methods.count", _("Counting"), of=types.CountMethod),
        _methods("steel_methods.bend", _("Bends"), of=types.BendMethod),
        _methods("steel_methods.stirrup", _("Stirrups"), of=types.StirrupMethod),
        _methods("steel_methods.crank", _("Cranks"), of=types.CrankMethod),
        _methods("steel_methods.length_rounding", _("Rounding of lengths"), of=types.LengthRounding),
    ),
)

CURING = Part(
    title=_("Curing"),
    boxes=(
        _choice(
            "curing.cement",
            _("Kind of cement"),
            choices=(
                ("opc", _("ordinary Portland")),
                ("blended", _("blended")),
                ("unknown", _("not known; counts as blended")),
            ),
        ),
        _choice(
            "curing.method",
            _("Kept wet by"),
            choices=(("ponding", _("ponded water")), ("wet_cover", _("wet cloth"))),
        ),
        Box(path="curing.hot_dry", label=_("Hot dry weather is expected"), kind=Kind.CHECK, needed=False),
        _number(
            "curing.days", _("Days"), needed=False, hint=_("as the engineer states; empty for the profile's")
        ),
    ),
)

KINDS_OF_LOSS: tuple[tuple[str, Label], ...] = (
    ("cement", _("Cement")),
    ("sand", _("Sand")),
    ("stone", _("Stone")),
    ("water", _("Water")),
    ("admixture", _("Admixtures")),
    ("steel", _("Steel")),
    ("binding-wire", _("Binding wire")),
    ("formwork", _("Formwork")),
    ("curing-water", _("Curing water")),
    ("curing-cover", _("Curing cover")),
)

LOSSES = Part(
    title=_("Expected loss"),
    hint=_("In place of the profile's allowance; empty leaves the profile's."),
    boxes=tuple(
        _number(f"allowances.{kind}", label, unit="%", needed=False) for kind, label in KINDS_OF_LOSS
    ),
)

REMARK = Part(
    title=_("Remark"),
    boxes=(Box(path="remark", label=_("Remark of the drawing"), kind=Kind.LONG, needed=False),),
)

LAYOUT: tuple[Part | Rows, ...] = (
    DRAWING,
    SHAPE,
    OPENINGS,
    BEAMS,
    CONCRETE,
    NOMINAL,
    DESIGNED,
    ADMIXTURES,
    BARS,
    SPACING_RULES,
    CURING,
    METHODS,
    LOSSES,
    REMARK,
)
"""The form from top to bottom."""
