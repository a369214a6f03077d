"""Random slabs from a seed: star-shaped outlines, openings and beams anywhere, in no special position."""

import math
import random
from dataclasses import dataclass

from tests.factories.solids import Rib


@dataclass(frozen=True)
class Slab:
    outline: list[tuple[float, float]]
    openings: list[list[tuple[float, float]]]
    beams: list[Rib]
    thickness_mm: float


def slab(seed):
    """A slab of up to about 16 m, made of numbers that no two edges are likely to share."""
    draw = random.Random(seed)  # noqa: S311 - a test repeats its slabs by their seed
    outline = _star(draw, middle=(0, 0), reach=(2_000, 8_000), corners=draw.randint(3, 12))
    places = [(draw.uniform(-6_000, 6_000), draw.uniform(-6_000, 6_000)) for _ in range(draw.randint(0, 4))]
    openings = [_star(draw, middle=place, reach=(200, 1_500), corners=draw.randint(3, 6)) for place in places]
    beams = [_beam(draw) for _ in range(draw.randint(0, 7))]
    return Slab(outline, openings, beams, thickness_mm=draw.uniform(90, 250))


def _star(draw, *, middle, reach, corners):
    angles = [2 * math.pi * (corner + draw.uniform(0, 0.8)) / corners for corner in range(corners)]
    spokes = [(draw.uniform(*reach), angle) for angle in angles]
    return [(middle[0] + r * math.cos(angle), middle[1] + r * math.sin(angle)) for r, angle in spokes]


def _beam(draw):
    start, end = ((draw.uniform(-9_000, 9_000), draw.uniform(-9_000, 9_000)) for _ in range(2))
    depth = draw.choice((draw.uniform(150, 700), 450.0, 450.0, 80.0))
    return Rib(start, end, width_mm=draw.uniform(150, 400), depth_mm=depth)
