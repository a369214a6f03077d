"""Slabs that the drawing tests draw: one like a house roof, one L-shaped, all invented."""

from __future__ import annotations

from typing import Any

from estimates.calc.reading import reader as sheet
from estimates.calc.sheet.parts import DesignSheet

ROOF: dict[str, Any] = {
    "schema": "pourtally-design/1",
    "drawing": {"number": "HL-S-02", "revision": "C", "dated": "2026-04-09", "engineer": "A. Tiwald"},
    "slab": "Roof over hall",
    "profile": "is",
    "outline": [[0, -600], [9200, -600], [9200, 7400], [0, 7400]],
    "openings": [
        {"name": "stair", "outline": [[6300, 5700], [8700, 5700], [8700, 6800], [6300, 6800]]},
        {"name": "duct", "outline": [[300, 6900], [600, 6900], [600, 7150], [300, 7150]]},
    ],
    "thickness_mm": 125,
    "cover_mm": 20,
    "beam_cover_mm": 25,
    "beams": [
        {"name": "B1", "width_mm": 230, "depth_mm": 450, "start": [0, 115], "end": [9200, 115]},
        {"name": "B2", "width_mm": 230, "depth_mm": 500, "start": [0, 3700], "end": [9200, 3700]},
        {"name": "B3", "width_mm": 230, "depth_mm": 450, "start": [0, 7285], "end": [9200, 7285]},
        {"name": "B4", "width_mm": 230, "depth_mm": 450, "start": [115, 0], "end": [115, 7400]},
        {"name": "B5", "width_mm": 230, "depth_mm": 450, "start": [4600, 0], "end": [4600, 7400]},
        {"name": "B6", "width_mm": 230, "depth_mm": 450, "start": [9085, 0], "end": [9085, 7400]},
    ],
    "grade": "M20",
    "steel_grade": "Fe500",
    "exposure": "moderate",
    "mix": {
        "kind": "nominal_volume",
        "parts": [1, 1.5, 3],
        "water_cement": 0.5,
        "stone_split": {"20": 60, "10": 40},
    },
    "curing": {"cement": "opc", "method": "ponding"},
}

ELL: dict[str, Any] = ROOF | {
    "slab": "Floor over store",
    "outline": [[0, 0], [5200, 0], [5200, 8600], [2400, 8600], [2400, 4200], [0, 4200]],
    "openings": [{"name": "hatch", "outline": [[3000, 6000], [4200, 6000], [3600, 7000]]}],
    "beams": [
        {"name": "C1", "width_mm": 200, "depth_mm": 400, "start": [2500, 0], "end": [2500, 8600]},
        {"name": "C2", "width_mm": 200, "depth_mm": 400, "start": [0, 2100], "end": [5200, 2100]},
    ],
}


def read(data: dict[str, Any], **changes: Any) -> DesignSheet:
    """Read a design sheet, with some of its fields changed."""
    return sheet.read(data | changes)
