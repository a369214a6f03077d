"""The drawings and schedules that engineers' offices send, with what a person answers to them."""

from __future__ import annotations

from importlib.resources import files

from tests.factories.sheets import roof

FOLDER = files("estimates").joinpath("examples/drawings")

RIDGE = ("roof-over-ridge-house.dxf", "roof-over-ridge-house-bars.csv")
DAIRY = ("floor-over-dairy-store.dxf", "floor-over-dairy-store-bars.xlsx")

SAID = {
    "bars.unit": "mm",
    "bars.count.5": "rule spacing_plus_one_dropped",
    "plan.opening.r2": "stair",
    "plan.opening.r3": "duct",
}
"""What the drawing of Ridge House and its note answer, where nothing is proposed."""

DAIRY_SAID = {
    "plan.gap.r1": "first",
    "plan.opening.r2": "tank neck",
    "plan.opening.r3": "duct",
    "plan.sides.r4": "125",
}
"""The same for the dairy store."""

REST = {
    "drawing": {"number": "RH-S-04", "revision": "B", "dated": "2026-03-12", "engineer": "N. Orveld"},
    "slab": "Ridge House, roof slab at +3.300",
    "schema": "pourtally-design/1",
    "profile": "is",
    "thickness_mm": 125,
    "exposure": "moderate",
    "mix": {
        "kind": "nominal_volume",
        "parts": [1, 1.5, 3],
        "mixing": "machine",
        "water_cement": 0.5,
        "stone_split": {"20": 60, "10": 40},
        "admixtures": [{"material": "waterproofer", "dose_ml_per_bag": 200, "bag_kg": 50}],
    },
    "curing": {"cement": "unknown", "method": "ponding", "hot_dry": False},
} | {name: value for name, value in roof().items() if name in {"falls", "remark", "steel_methods"}}
"""What the note beside the drawing of Ridge House says and no file does."""


def content(name: str) -> bytes:
    """A file as received."""
    return FOLDER.joinpath(name).read_bytes()
