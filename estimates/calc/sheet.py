"""The design sheet: read it with every fault listed, write it, publish its schema."""

import json
from collections.abc import Mapping
from typing import Any, Final

from pydantic import TypeAdapter, ValidationError

from estimates.calc import sheet_faults
from estimates.calc.sheet_faults import Fault, SheetFaults
from estimates.calc.sheet_parts import (
    Admixture,
    BarMark,
    Beam,
    CountRule,
    Curing,
    DesignedAdmixture,
    DesignedMix,
    DesignSheet,
    DrawingRef,
    MixParts,
    NominalVolumeMix,
    Opening,
    SpacingRule,
    SteelMethods,
)
from estimates.calc.sheet_types import Point

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
    "to_json",
]

_SHEET: Final = TypeAdapter(DesignSheet)


def read(data: Mapping[str, Any] | str) -> DesignSheet:
    """Reads a design sheet and refuses it with every fault at once."""
    raw = json.loads(data) if isinstance(data, str) else data
    try:
        return _SHEET.validate_python(raw)
    except ValidationError as error:
        raise SheetFaults(sheet_faults.from_validation(error)) from None


def to_json(design: DesignSheet) -> str:
    """Writes the sheet so that `read` gives it back."""
    return _SHEET.dump_json(design, indent=2).decode()
