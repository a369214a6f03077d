"""The parts of a design sheet that can be read, so that a fault in one does not hide those of the others."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final, TypeVar

from pydantic import TypeAdapter, ValidationError

from estimates.calc.sheet import shapes, types
from estimates.calc.sheet.answers import MAX_ANSWERS, Answer
from estimates.calc.sheet.durability import Durability
from estimates.calc.sheet.fabric import Fabric
from estimates.calc.sheet.mix import AnyMix, Mix
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.shape import Beam, Opening
from estimates.calc.sheet.shapes import Shapes
from estimates.calc.sheet.steel import BarMark, SpacingRule, SteelMethods
from estimates.calc.sheet.supports import Supports
from estimates.calc.sheet.types import Point
from estimates.calc.sheet.works import (
    MAX_CONSUMABLES,
    Consumable,
    Crew,
    Curing,
    Plant,
    Waterproofing,
)

T = TypeVar("T")

_PROFILE: Final[TypeAdapter[types.ProfileId]] = TypeAdapter(types.ProfileId)
_DURABILITY: Final[TypeAdapter[Durability]] = TypeAdapter(Durability)
_WORDS: Final[TypeAdapter[str]] = TypeAdapter(str)
_OUTLINE: Final[TypeAdapter[tuple[Point, ...]]] = TypeAdapter(types.Outline)
_SECTION: Final[TypeAdapter[float]] = TypeAdapter(types.Section)
_COVER: Final[TypeAdapter[float]] = TypeAdapter(types.Cover)
_MIX: Final[TypeAdapter[AnyMix]] = TypeAdapter(Mix)
_METHODS: Final = TypeAdapter(SteelMethods)
_OPENING: Final = TypeAdapter(Opening)
_BEAM: Final = TypeAdapter(Beam)
_BAR: Final = TypeAdapter(BarMark)
_RULE: Final = TypeAdapter(SpacingRule)
_FABRIC: Final = TypeAdapter(Fabric)
_ANSWER: Final = TypeAdapter(Answer)
_SUPPORTS: Final = TypeAdapter(Supports)
_CURING: Final = TypeAdapter(Curing)
_CONSUMABLE: Final = TypeAdapter(Consumable)
_WATERPROOFING: Final = TypeAdapter(Waterproofing)
_PLANT: Final = TypeAdapter(Plant)
_CREW: Final = TypeAdapter(Crew)


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """What could be read of a sheet: None or left out where the schema already found a fault.

    Things in lists keep their index in the sheet. `beam_cover_given` tells a missing cover from a faulty one.
    """

    profile: types.ProfileId | None = None
    grade: str | None = None
    steel_grade: str | None = None
    exposure: str | None = None
    durability: Durability | None = None
    outline: tuple[Point, ...] | None = None
    thickness_mm: float | None = None
    cover_mm: float | None = None
    beam_cover_mm: float | None = None
    beam_cover_given: bool = False
    mix: AnyMix | None = None
    steel_methods: SteelMethods = field(default_factory=SteelMethods)
    openings: Mapping[int, Opening] = field(default_factory=dict)
    beams: Mapping[int, Beam] = field(default_factory=dict)
    bars: Mapping[int, BarMark] = field(default_factory=dict)
    spacing_rules: Mapping[int, SpacingRule] = field(default_factory=dict)
    fabrics: Mapping[int, Fabric] = field(default_factory=dict)
    answers: Mapping[int, Answer] = field(default_factory=dict)
    supports: Supports | None = None
    curing: Curing | None = None
    consumables: Mapping[int, Consumable] = field(default_factory=dict)
    waterproofing: Waterproofing | None = None
    plant: Plant | None = None
    crew: Crew | None = None
    shapes: Shapes = field(default_factory=Shapes)

    @property
    def marks(self) -> set[str]:
        """Marks of the bar schedule and of the bars at a spacing."""
        laid = {mark for rule in self.spacing_rules.values() for mark in rule.marks}
        return {bar.mark for bar in self.bars.values()} | laid


def of_sheet(sheet: DesignSheet) -> Draft:
    """All parts of a sheet that has no fault of form.

    Source: derived: the sheet's own parts.

    Args:
        sheet: the sheet, its meaning not yet checked.

    Returns:
        The parts.
    """
    return Draft(
        profile=sheet.profile,
        grade=sheet.grade,
        steel_grade=sheet.steel_grade,
        exposure=sheet.exposure,
        durability=sheet.durability,
        outline=sheet.outline,
        thickness_mm=sheet.thickness_mm,
        cover_mm=sheet.cover_mm,
        beam_cover_mm=sheet.beam_cover_mm,
        beam_cover_given=sheet.beam_cover_mm is not None,
        mix=sheet.mix,
        steel_methods=sheet.steel_methods,
        openings=dict(enumerate(sheet.openings)),
        beams=dict(enumerate(sheet.beams)),
        bars=dict(enumerate(sheet.bars)),
        spacing_rules=dict(enumerate(sheet.spacing_rules)),
        fabrics=dict(enumerate(sheet.fabrics)),
        answers=dict(enumerate(sheet.answers)),
        supports=sheet.supports,
        curing=sheet.curing,
        consumables=dict(enumerate(sheet.consumables)),
        waterproofing=sheet.waterproofing,
        plant=sheet.plant,
        crew=sheet.crew,
        shapes=shapes.of_sheet(sheet),
    )


def of_data(data: Mapping[str, Any]) -> Draft:
    """The parts of raw data that can be read, each by itself.

    Source: derived: the types of the sheet's parts.

    Args:
        data: a sheet as data, with faults of form in it.

    Returns:
        The readable parts.

    >>> of_data({"thickness_mm": 125, "cover_mm": "20"}).thickness_mm
    125.0
    """
    return Draft(
        profile=_read(_PROFILE, data.get("profile")),
        grade=_read(_WORDS, data.get("grade")),
        steel_grade=_read(_WORDS, data.get("steel_grade")),
        exposure=_read(_WORDS, data.get("exposure")),
        durability=_read(_DURABILITY, data.get("durability")),
        outline=_read(_OUTLINE, data.get("outline")),
        thickness_mm=_read(_SECTION, data.get("thickness_mm")),
        cover_mm=_read(_COVER, data.get("cover_mm")),
        beam_cover_mm=_read(_COVER, data.get("beam_cover_mm")),
        beam_cover_given=data.get("beam_cover_mm") is not None,
        mix=_read(_MIX, data.get("mix")),
        steel_methods=_read(_METHODS, data.get("steel_methods")) or SteelMethods(),
        openings=_read_each(_OPENING, data.get("openings"), most=types.MAX_OPENINGS),
        beams=_read_each(_BEAM, data.get("beams"), most=types.MAX_BEAMS),
        bars=_read_each(_BAR, data.get("bars"), most=types.MAX_BARS),
        spacing_rules=_read_each(_RULE, data.get("spacing_rules"), most=types.MAX_SPACING_RULES),
        fabrics=_read_each(_FABRIC, data.get("fabrics"), most=types.MAX_FABRICS),
        answers=_read_each(_ANSWER, data.get("answers"), most=MAX_ANSWERS),
        supports=_read(_SUPPORTS, data.get("supports")),
        curing=_read(_CURING, data.get("curing")),
        consumables=_read_each(_CONSUMABLE, data.get("consumables"), most=MAX_CONSUMABLES),
        waterproofing=_read(_WATERPROOFING, data.get("waterproofing")),
        plant=_read(_PLANT, data.get("plant")),
        crew=_read(_CREW, data.get("crew")),
        shapes=shapes.of_data(data, read_each=_read_each),
    )


def _read(kind: TypeAdapter[T], value: object) -> T | None:
    try:
        return kind.validate_python(value)
    except ValidationError:
        return None


def _read_each(kind: TypeAdapter[T], value: object, *, most: int) -> dict[int, T]:
    if not isinstance(value, list | tuple):
        return {}
    parts = ((index, _read(kind, item)) for index, item in enumerate(value[:most]))
    return {index: part for index, part in parts if part is not None}
