"""One of every shape and joint that a sheet can hold, for the small slab of the tests."""

from __future__ import annotations

from typing import Any

from tests.factories import estimates

SHAPES: dict[str, Any] = {
    "openings": [
        {"name": "hatch", "outline": [[1000, 1000], [2000, 1000], [2000.5, 2000]]},
        {"name": "neck", "circle": {"centre": [3500, 2500], "diameter_mm": 400, "sides": 48}},
    ],
    "beams": [
        estimates.SHEET["beams"][0],
        {
            "name": "B2",
            "width_mm": 200,
            "depth_mm": 400,
            "start": [300, 400],
            "via": [[300, 800], [700.5, 800]],
            "end": [700.5, 1500],
            "top_level_mm": 150,
        },
    ],
    "further_outlines": [{"name": "east", "outline": [[5000, 0], [6000, 0], [6000, 1000], [5000, 1000]]}],
    "panels": [
        {
            "name": "wet room",
            "outline": [[2400, 500], [3600, 500], [3600, 1500], [2400, 1500]],
            "thickness_mm": 125,
            "top_level_mm": -300,
            "sides_mm": 125,
        },
        {
            "name": "thick",
            "outline": [[5000, 0], [5500, 0], [5500, 1000], [5000, 1000]],
            "thickness_mm": 150,
        },
    ],
    "upstands": [
        {
            "name": "kerb",
            "line": [[1000, 2800], [2000, 2800], [2000, 2400]],
            "closed": True,
            "width_mm": 100,
            "height_mm": 150,
        },
        {
            "name": "sill",
            "line": [[2500, 1000], [3500, 1000]],
            "width_mm": 100,
            "height_mm": 150,
            "foot_level_mm": -300,
        },
    ],
    "overhangs": [{"name": "south", "outline": [[0, 0], [4000, 0], [4000, 200]]}],
    "sunshades": [
        {
            "name": "west",
            "start": [0, 1500],
            "end": [0, 500],
            "projection_mm": 450,
            "thickness_mm": 100,
            "tip_thickness_mm": 75,
            "top_level_mm": -20,
        }
    ],
    "flights": [
        {
            "name": "F1",
            "width_mm": 1000,
            "waist_mm": 150,
            "steps": 9,
            "going_mm": 250,
            "riser_mm": 167.5,
            "open_sides": 1,
            "landings": [{"length_mm": 1000, "width_mm": 2100, "thickness_mm": 150, "formed_edge_mm": 3100}],
            "start": [1500, 1500],
            "towards": [1500, 2000],
        }
    ],
    "outlets": [{"name": "R1", "at": [100, 2900], "fall_one_in": 100}],
    "construction_joints": [
        {
            "name": "J1",
            "line": [[3900, 0], [3900, 3000]],
            "engineer": "N. Orveld",
            "agreed": "2026-05-11",
            "beams_left": ["B2"],
            "beams_right": ["B1"],
        }
    ],
    "existing_joints": [
        {
            "name": "north",
            "line": [[0, 3000], [4000, 3000]],
            "thickness_mm": 125,
            "roughened": True,
            "bonding_kg_m2": 0.4,
            "dowels": {
                "kind": "coupler",
                "size_mm": 12,
                "spacing_mm": 300,
                "length_mm": 300,
                "drilled_mm": 150,
                "pieces": 14,
            },
        }
    ],
    "falsework": {
        "drawing_number": "FW-7",
        "designer": "T. Example",
        "items": [{"name": "prop, 2 to 3.5 m", "number": 64, "days": 21}],
    },
    "measurement": "cpwd",
}
