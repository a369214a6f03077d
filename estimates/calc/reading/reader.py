"""The design sheet: read it with every fault listed, write it, publish its schema."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from pydantic import TypeAdapter, ValidationError

from estimates.calc.reading import (
    answer_checks,
    bar_checks,
    fabric_checks,
    measurement_checks,
    mix_checks,
    plan_checks,
    profile_checks,
    spacing_checks,
    support_checks,
    works_checks,
)
from estimates.calc.sheet import draft as sheet_draft
from estimates.calc.sheet import faults as sheet_faults
from estimates.calc.sheet import text as sheet_text
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, SheetFaults
from estimates.calc.sheet.mix import Admixture, DesignedAdmixture, DesignedMix, MixParts, NominalVolumeMix
from estimates.calc.sheet.parts import DesignSheet, DrawingRef
from estimates.calc.sheet.shape import Beam, Opening
from estimates.calc.sheet.steel import BarMark, CountRule, SpacingRule, SteelMethods
from estimates.calc.sheet.types import Point
from estimates.calc.sheet.works import Curing
from estimates.standards import load

__all__ = [
    "Admixture",
    "BarMark",
    "Beam",
    "CountRule",
    "Curing",
    "DesignSheet",
    "DesignedAdmixture",
    "DesignedMix",
    "DrawingRef",
    "Fault",
    "MixParts",
    "NominalVolumeMix",
    "Opening",
    "Point",
    "SheetFaults",
    "SpacingRule",
    "SteelMethods",
    "read",
    "schema",
    "to_json",
]

_SHEET: Final = TypeAdapter(DesignSheet)
_SCHEMA_ADDRESS: Final = "https://json-schema.org/draft/2020-12/schema"


def read(data: Mapping[str, Any] | str) -> DesignSheet:
    """Reads a design sheet and lists every fault at once; nothing is repaired.

    Source: the published schema `design-sheet.schema.json`, and the checks of form, plan, bars and mix.

    Args:
        data: the sheet as JSON text, or as the data that JSON gives; lengths [mm].

    Returns:
        The sheet; the take-off accepts every sheet that this returns.

    Raises:
        SheetFaults: every fault with its path in the sheet, a code, and a sentence that says what to do.

    >>> try:
    ...     read({"schema": "pourtally-design/1", "thickness_mm": -5})
    ... except SheetFaults as refused:
    ...     [fault.message for fault in refused.faults if fault.path == "thickness_mm"]
    ['thickness_mm -5 must be at least 1 mm; correct the number']
    """
    raw = sheet_text.load(data) if isinstance(data, str) else data
    raw = dict(raw) if isinstance(raw, Mapping) else raw
    try:
        sheet = _SHEET.validate_python(raw)
    except ValidationError as error:
        formal = sheet_faults.from_validation(error)
        draft = sheet_draft.of_data(raw) if isinstance(raw, dict) else sheet_draft.Draft()
        raise SheetFaults(_once(formal, _meant(draft))) from None
    faults = _meant(sheet_draft.of_sheet(sheet))
    if faults:
        raise SheetFaults(faults)
    return sheet


def to_json(sheet: DesignSheet) -> str:
    """Writes a sheet as JSON text that `read` gives back; the same design always gives the same text.

    Source: derived: fields in the order of the schema, fields left out stay out, whole numbers written whole.

    Args:
        sheet: the sheet.

    Returns:
        The text.

    >>> from importlib.resources import files
    >>> text = files("estimates").joinpath("examples/roof-over-ridge-house.json").read_text(encoding="utf-8")
    >>> read(to_json(read(text))) == read(text)
    True
    """
    return sheet_text.dump(_SHEET.dump_python(sheet, mode="json", exclude_none=True))


def schema() -> dict[str, Any]:
    """The JSON Schema of a design sheet, generated from the dataclasses: titles, meanings, units, bounds.

    Source: derived: JSON Schema draft 2020-12.

    Returns:
        The schema as data.

    >>> schema()["properties"]["thickness_mm"]["description"]
    'Thickness of the slab [mm].'
    """
    return {"$schema": _SCHEMA_ADDRESS, **_SHEET.json_schema()}


def _once(formal: list[Fault], meant: list[Fault]) -> list[Fault]:
    """All faults; where both speak of a grade or exposure, the sentence that knows the profile stands."""
    better = {fault.path: fault for fault in meant if fault.path in profile_checks.FIELDS}
    first = [better.get(fault.path, fault) for fault in formal]
    return [*first, *(fault for fault in meant if fault not in first)]


def _meant(draft: Draft) -> list[Fault]:
    """What the checks find; a profile that lacks a value is a fault of its own, after those found so far."""
    found: list[Fault] = []
    try:
        for fault in _checked(draft):
            found.append(fault)  # noqa: PERF402 - what was found before a lack must not be lost
    except load.StandardsError as lack:
        message = f"profile {draft.profile} cannot work this sheet out: {lack}; choose another profile"
        found.append(Fault("profile", "profile_incomplete", message))
    return found


def _checked(draft: Draft) -> Iterator[Fault]:
    profile = None if draft.profile is None else load.profile(draft.profile)
    yield from profile_checks.faults(draft)
    yield from plan_checks.faults(draft)
    yield from measurement_checks.faults(draft, profile=profile)
    yield from mix_checks.faults(draft, profile=profile)
    yield from bar_checks.faults(draft, profile=profile)
    yield from spacing_checks.faults(draft, profile=profile)
    yield from fabric_checks.faults(draft, profile=profile)
    yield from answer_checks.faults(draft, profile=profile)
    yield from support_checks.faults(draft, profile=profile)
    yield from works_checks.faults(draft, profile=profile)
