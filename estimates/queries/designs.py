"""Designs as saved: the sheet behind a slab's drawing."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from django.utils.translation import gettext as _

from estimates.calc import pours
from estimates.calc.pours import PourPart
from estimates.calc.reading import reader as sheets
from estimates.calc.reading.reader import DesignSheet, SheetFaults
from estimates.calc.sheet import text as sheet_text
from estimates.models import Design
from estimates.queries.unworkable import UNWORKABLE, Unworkable
from projects.access import scope
from projects.access.actor import Actor
from projects.errors import Fault


def one(actor: Actor, *, design_id: int) -> Design:
    """Return a design with its slab and drawing; refused with NotFound when it is not the actor's."""
    rows = Design.objects.select_related("slab__site", "drawing", "created_by")
    return scope.get(rows, actor, pk=design_id)


def latest(actor: Actor, *, slab_id: int) -> Design | None:
    """Return the slab's latest design, or None before the first one."""
    rows = scope.visible(Design.objects.filter(slab=slab_id), actor)
    return rows.select_related("drawing").order_by("-number").first()


def sheet_of(design: Design) -> DesignSheet:
    """Return the saved sheet as its dataclass; refused with Unworkable when it no longer reads."""
    try:
        return sheets.read(design.sheet)
    except SheetFaults as faults:
        raise Unworkable(UNWORKABLE % {"why": str(faults)}) from None


def data_of(text: str) -> tuple[dict[str, Any], tuple[Fault, ...]]:
    """Return a sheet's text as data, or why it is none: no JSON, a field twice, a figure that is none."""
    try:
        found = sheet_text.load(text)
    except SheetFaults as refused:
        return {}, _faults(refused)
    if not isinstance(found, dict):
        message = _("A design sheet is a group of named fields in braces.")
        return {}, (Fault(path="", code="not_a_sheet", message=message),)
    return found, ()


def faults_of(sheet: Mapping[str, Any]) -> tuple[Fault, ...]:
    """Return every fault for which a sheet cannot be saved, each with its path; none for a good sheet."""
    try:
        found = sheets.read(sheet)
    except SheetFaults as refused:
        return _faults(refused)
    if found.drawing.dated is None:
        message = _("dated is missing; add the date of the revision, as 2026-03-12")
        return (Fault(path="drawing.dated", code="missing", message=message),)
    return ()


def _faults(refused: SheetFaults) -> tuple[Fault, ...]:
    return tuple(Fault(path=row.path, code=row.code, message=row.message) for row in refused.faults)


def pours_of(sheet: DesignSheet) -> tuple[PourPart, ...]:
    """Return the pours into which a design's construction joints divide its slab; none without a joint."""
    return pours.of_sheet(sheet)


# What a plan drawing does not show, so that a half-typed design can be drawn.
_UNDRAWN: Mapping[str, Any] = {
    "schema": "pourtally-design/1",
    "drawing": {"number": "-"},
    "slab": "-",
    "profile": "is",
    "cover_mm": 20,
    "beam_cover_mm": 25,
    "grade": "M20",
    "steel_grade": "Fe500",
    "exposure": "mild",
    "mix": {
        "kind": "nominal_volume",
        "parts": [1, 1.5, 3],
        "water_cement": 0.5,
        "stone_split": {"20": 60, "10": 40},
    },
    "curing": {"cement": "unknown", "method": "ponding"},
}


_SHAPES: Final = (
    "openings",
    "beams",
    "further_outlines",
    "panels",
    "upstands",
    "overhangs",
    "sunshades",
    "flights",
    "outlets",
    "construction_joints",
    "existing_joints",
    "spacing_rules",
)


def drawable(sheet: Mapping[str, Any]) -> DesignSheet | None:
    """Return as much of an unfinished sheet as can be drawn in plan, or None while its outline is not one.

    Only for the drawing beside the form: nothing of it is saved or taken off.
    """
    for parts in (_SHAPES, ("openings", "beams"), ("openings",), ()):
        shown = {name: sheet[name] for name in ("outline", "thickness_mm", *parts) if name in sheet}
        named = (
            {"slab": sheet["slab"]} if isinstance(sheet.get("slab"), str) and sheet["slab"].strip() else {}
        )
        try:
            return sheets.read({**_UNDRAWN, **named, **shown})
        except SheetFaults:
            continue
    return None
