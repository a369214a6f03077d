"""Design sheets for tests: the example in the project, and a small slab to break one thing of."""

import copy
import json
from importlib.resources import files

from estimates.calc.reading import reader as sheet


def roof():
    """The example sheet as data."""
    text = files("estimates").joinpath("examples/roof-over-ridge-house.json").read_text(encoding="utf-8")
    return json.loads(text)


_SMALL = {
    "schema": "pourtally-design/1",
    "drawing": {"number": "T-1", "revision": "A", "dated": "2026-01-05", "engineer": "An Engineer"},
    "slab": "Test slab",
    "profile": "is",
    "outline": [[0, 0], [6000, 0], [6000, 4000], [0, 4000]],
    "thickness_mm": 150,
    "cover_mm": 20,
    "grade": "M20",
    "steel_grade": "Fe500",
    "exposure": "mild",
    "mix": {
        "kind": "nominal_volume",
        "parts": [1, 1.5, 3],
        "water_cement": 0.5,
        "stone_split": {"20": 60, "10": 40},
    },
    "curing": {"cement": "opc", "method": "ponding"},
}


def small(**changes):
    """A slab of 6 by 4 m without beams, openings and bars, with fields replaced."""
    return copy.deepcopy(_SMALL) | changes


def beam(**changes):
    """A beam across the small slab."""
    return {"name": "B1", "width_mm": 230, "depth_mm": 450, "start": [0, 2000], "end": [6000, 2000]} | changes


def bar(**changes):
    """A row of a bar schedule."""
    row = {"mark": "S1", "member": "slab", "size_mm": 10, "shape": "straight", "dimensions": {"A": 3960}}
    return row | {"per_member": 40} | changes


def rule(**changes):
    """A spacing rule over the small slab."""
    row = {"mark": "R1", "size_mm": 10, "direction": "x", "spacing_mm": 200, "layer": "bottom"}
    return row | changes


def faults(data):
    """Every fault of a sheet as pairs of path and code; none for a good sheet."""
    try:
        sheet.read(data)
    except sheet.SheetFaults as refused:
        return [(fault.path, fault.code) for fault in refused.faults]
    return []


def messages(data):
    """Every fault of a sheet as path and sentence."""
    try:
        sheet.read(data)
    except sheet.SheetFaults as refused:
        return {fault.path: fault.message for fault in refused.faults}
    return {}
