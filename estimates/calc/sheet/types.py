"""Scalar types of the design sheet, each with its bound: there is a limit on everything.

Bounds here only keep nonsense out (a slab of 900 m, a bar of 70 mm by a slip of the finger). Limits of a code
or of good practice are findings of the casting checks and live in the standards data.
"""

import math
import re
from collections.abc import Mapping
from datetime import date
from typing import Annotated, Final, Literal, NamedTuple, TypeVar

from pydantic import AfterValidator, BeforeValidator, Field
from pydantic_core import PydanticCustomError

MAX_SHEET_CHARACTERS: Final = 4_000_000
MAX_OUTLINE_POINTS: Final = 500
MAX_OPENINGS: Final = 50
MAX_OPENING_POINTS: Final = 100
MAX_BEAMS: Final = 200
MAX_SHAPES: Final = 100
MAX_LINE_POINTS: Final = 100
MAX_JOINTS: Final = 12
MAX_LANDINGS: Final = 2
MAX_BARS: Final = 2_000
MAX_SPACING_RULES: Final = 200
MAX_FABRICS: Final = 100
MAX_COORDINATE_MM: Final = 200_000

_ISO_DATE: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")

Coordinate = Annotated[
    float, Field(strict=True, allow_inf_nan=False, ge=-MAX_COORDINATE_MM, le=MAX_COORDINATE_MM)
]
"""A place in plan [mm], from an origin of the drawing's choice."""

Length = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=1, le=MAX_COORDINATE_MM)]
"""A length of a bar or over which bars are counted [mm]."""

Section = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=1, le=5_000)]
"""A thickness, width or depth of concrete [mm]."""

Level = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=-5_000, le=5_000)]
"""A level above (positive) or below the top of the slab [mm]."""

FreeLength = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=MAX_COORDINATE_MM)]
"""A length that may be nothing [mm]."""

CircleSides = Annotated[int, Field(strict=True, ge=8, le=360)]
"""Sides of the polygon that stands for a circle."""

FallRatio = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=5, le=1_000)]
"""Run to one of fall [1]."""

AreaDose = Annotated[float, Field(strict=True, allow_inf_nan=False, gt=0, le=20)]
"""Mass on one square metre [kg/m²]."""

Cover = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=1, le=200)]
"""Concrete between a bar and the nearest face [mm]."""

BarSize = Annotated[int, Field(strict=True, ge=4, le=60)]
"""Nominal diameter of a bar [mm]."""

Count = Annotated[int, Field(strict=True, ge=1, le=10_000)]
"""A number of things; a bar that is not there is left out of the schedule."""

Part = Annotated[float, Field(strict=True, allow_inf_nan=False, gt=0, le=20)]
"""A part of a mix by volume."""

Percent = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=100)]
"""Hundredths."""

AllowancePercent = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=25)]
"""Expected loss on top of the net quantity [%]."""

WaterCement = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0.25, le=1.0)]
"""Free water to cement, by mass [1]."""

MassPerVolume = Annotated[float, Field(strict=True, allow_inf_nan=False, gt=0, le=3_500)]
"""Kilograms in one cubic metre [kg/m³]."""

Title = Annotated[str, Field(strict=True, max_length=200, pattern=r"^\P{Cc}*[^\s\p{Cc}]\P{Cc}*$")]
"""A name or title on one line; not blank, no control characters."""

Remark = Annotated[str, Field(strict=True, max_length=2_000, pattern=r"^[\P{Cc}\n\r\t]*$")]
"""Free text; may be empty, no control characters but line ends and tabs."""

DrawingNumber = Annotated[str, Field(strict=True, max_length=60, pattern=r"^\P{Cc}*[^\s\p{Cc}]\P{Cc}*$")]
"""Number of a drawing on one line; not blank, no control characters."""

Revision = Annotated[str, Field(strict=True, max_length=12, pattern=r"^\P{Cc}*$")]
"""Letter or number of a revision; may be empty, no control characters."""

Person = Annotated[str, Field(strict=True, max_length=120, pattern=r"^\P{Cc}*$")]
"""Name of a person or office on one line; may be empty, no control characters."""

Member = Annotated[str, Field(strict=True, max_length=80, pattern=r"^\P{Cc}*[^\s\p{Cc}]\P{Cc}*$")]
"""What a bar belongs to, on one line; not blank, no control characters."""

Name = Annotated[str, Field(strict=True, max_length=40, pattern=r"^[^\s\p{Cc}]+$")]
"""A mark or a short name without blanks, as it stands on the drawing."""

Decision = Annotated[str, Field(strict=True, max_length=500, pattern=r"^\P{Cc}*[^\s\p{Cc}]\P{Cc}*$")]
"""What somebody decided, on one line; not blank, no control characters."""

MethodName = Annotated[str, Field(strict=True, max_length=60, pattern=r"^[a-z0-9_.-]+$")]
"""The id of a named method of the standards profile."""

ProfileId = Literal["is", "en", "aci"]
"""A standards profile: Indian, European and British, American."""

Grade = Annotated[
    str,
    Field(strict=True, pattern=r"^(M[1-9][0-9]{0,2}|C[1-9][0-9]{0,2}/[1-9][0-9]{0,2}|[1-9][0-9]{3,4} psi)$"),
]
"""Concrete grade as the profile writes it: "M20", "C25/30" or "4000 psi"."""

SteelGrade = Annotated[
    str, Field(strict=True, pattern=r"^(Fe[1-9][0-9]{2}[DS]?|B[1-9][0-9]{2}[ABC]|Grade [1-9][0-9]{1,2})$")
]
"""Steel grade as the profile writes it: "Fe500", "B500B" or "Grade 60"."""

Exposure = Literal[
    "mild", "moderate", "severe", "very_severe", "extreme",
    "X0", "XC1", "XC2", "XC3", "XC4", "XD1", "XD2", "XD3", "XS1", "XS2", "XS3",
    "XF1", "XF2", "XF3", "XF4", "XA1", "XA2", "XA3",
    "F0", "F1", "F2", "F3", "S0", "S1", "S2", "S3", "W0", "W1", "W2", "C0", "C1", "C2",
]  # fmt: skip
"""Exposure class: IS 456 table 3, EN 206 table 1, ACI 318 table 19.3.1.1; each profile knows its own."""

ShapeWord = Literal[
    "straight", "l", "u", "chair", "stirrup", "cranked", "hook_one", "hook_both", "bend_one", "bend_both"
]
"""Plain shapes in the trade's own words; the profile's or the sheet's methods give their lengths."""

ShapeBs8666 = Literal[
    "00", "01", "11", "12", "13", "14", "15", "21", "22", "23", "24", "25", "26", "27", "28", "29", "31",
    "32", "33", "34", "35", "36", "41", "44", "46", "47", "51", "56", "63", "64", "67", "75", "77", "98",
    "99",
]  # fmt: skip
"""Shape codes of BS 8666:2005."""

ShapeAci315 = Literal["1", "2", "17", "S1", "S2", "T1", "T2"]
"""Bend types of ACI 315-99."""

Shape = Literal[ShapeWord, ShapeBs8666, ShapeAci315]
FabricLap = Literal["one_mesh_50", "four_wires", "site_350"]
FabricCount = Literal["rows", "area"]
WireMethod = Literal["by_mass", "by_size", "by_area"]
ShapeCatalogue = Literal["is2502-1963", "bs8666-2005", "aci315-1999"]
Dimension = Literal["A", "B", "C", "D", "E", "F", "G", "H", "J", "K", "R"]

Designer = Annotated[str, Field(strict=True, max_length=120, pattern=r"^\P{Cc}*[^\s\p{Cc}]\P{Cc}*$")]
"""Name of a person who answers for something; not blank, no control characters."""

Pieces = Annotated[int, Field(strict=True, ge=1, le=100_000)]
"""A number of things on hire."""

HireDays = Annotated[int, Field(strict=True, ge=1, le=365)]
"""Days on hire [day]."""

DowelKind = Literal["dowel", "coupler"]
StoneSize = Literal["20", "10"]
AdmixtureMaterial = Literal["waterproofer", "plasticiser"]
MaterialKind = Literal[
    "cement",
    "sand",
    "stone",
    "water",
    "admixture",
    "steel",
    "fabric",
    "binding-wire",
    "formwork",
    "curing-water",
    "curing-cover",
    "curing-compound",
    "ready-mixed",
    "mould-oil",
    "nails",
    "rain-cover",
    "waterproofing",
    "hire",
    "crew",
    "cover-block",
    "coupler",
]
CountMethod = Literal[
    "spacing_plus_one_dropped", "spacing_plus_one_raised", "clear_spacing_plus_one_raised", "spacing_raised"
]
BendMethod = Literal["is2502_r2", "is2502_r4", "site_2d", "out_to_out", "bs8666"]
StirrupMethod = Literal["outside_16d", "inside_24d", "bs8666_16d", "aci315_135"]
HookMethod = Literal["is2502_k2", "is2502_k3", "is2502_k4", "aci315_180"]
CrankMethod = Literal["practice", "exact", "one_depth"]
FirstBar = Literal["spread_evenly", "at_cover", "half_spacing"]
BarUse = Literal["main", "distribution"]
LengthRounding = Literal["none", "mm_dropped", "nearest_5_mm", "nearest_10_mm", "up_25_mm"]


class Point(NamedTuple):
    """A place in plan [mm], x to the right and y up; [x, y] in JSON."""

    x: Coordinate
    y: Coordinate


def round_corners(centre: Point, *, diameter_mm: float, sides: int) -> tuple[Point, ...]:
    """Corners of the regular polygon that has the area of a circle.

    Source: derived: n / 2 · r² · sin(2π / n) = π d² / 4.

    Args:
        centre: its middle [mm].
        diameter_mm: of the circle [mm].
        sides: of the polygon.

    Returns:
        The corners, counter-clockwise from the right [mm].
    """
    turn = 2 * math.pi / sides
    reach = diameter_mm / 2 * math.sqrt(turn / math.sin(turn))
    return tuple(
        Point(centre.x + reach * math.cos(turn * side), centre.y + reach * math.sin(turn * side))
        for side in range(sides)
    )


def refuse_lookalike(value: object) -> object:
    """Whole numbers only: true and 45.0 would pass for 1 and 45 in a list of allowed numbers."""
    if type(value) is int:
        return value
    raise PydanticCustomError("int_type", "not a whole number")


def only_iso_date(value: object) -> object:
    """A date is written 2026-03-12; a bare number would pass for seconds since 1970."""
    if type(value) is date or (isinstance(value, str) and _ISO_DATE.fullmatch(value)):
        return value
    raise PydanticCustomError("bad_date", "not a date as 2026-03-12")


def refuse_mapping(value: object) -> object:
    """A point is [x, y] and nothing else: a mapping would be a second way to write the same."""
    if isinstance(value, dict):
        raise PydanticCustomError("tuple_type", "not a list")
    return value


def in_order(value: Mapping[str, float]) -> dict[str, float]:
    """Sizes from large to small, all else by name: a store need not keep the order of a group's names."""
    return dict(sorted(value.items(), key=lambda item: (-int(item[0]) if item[0].isdigit() else 0, item[0])))


SORTED: Final = AfterValidator(in_order)
"""Puts a group of named figures in its one order, so that the same design is the same sheet."""

Dated = Annotated[date, BeforeValidator(only_iso_date)]
PlanPoint = Annotated[Point, BeforeValidator(refuse_mapping)]
Outline = Annotated[tuple[PlanPoint, ...], Field(min_length=3, max_length=MAX_OUTLINE_POINTS)]
OpeningOutline = Annotated[tuple[PlanPoint, ...], Field(min_length=3, max_length=MAX_OPENING_POINTS)]
BendPoints = Annotated[tuple[PlanPoint, ...], Field(max_length=MAX_LINE_POINTS)]
PlanLine = Annotated[tuple[PlanPoint, ...], Field(min_length=2, max_length=MAX_LINE_POINTS)]
BeamNames = Annotated[tuple[Name, ...], Field(max_length=MAX_BEAMS)]
OpenSides = Annotated[Literal[0, 1, 2], BeforeValidator(refuse_lookalike)]

_Part = TypeVar("_Part")
Landings = Annotated[tuple[_Part, ...], Field(max_length=MAX_LANDINGS)]
Several = Annotated[tuple[_Part, ...], Field(max_length=MAX_SHAPES)]
Joints = Annotated[tuple[_Part, ...], Field(max_length=MAX_JOINTS)]
