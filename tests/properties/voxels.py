"""Random slabs on a grid with everything that is cast with them, and a count of their concrete cell by cell.

The count knows nothing of polygons: a cell holds what its middle lies in.
"""

import math
import random
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from estimates.calc.geometry.solid import Plan
from estimates.calc.sheet.shape import Beam, Panel, Upstand

CELL, STEP = 100, 25
REACH, TOP, BOTTOM = 50, 12, -40
"""Cells of the plan, and steps above and below the slab's top."""


@dataclass(frozen=True)
class Made:
    """A slab as the geometry takes it, and its cells by kind: shape (kinds, x, y, z)."""

    plan: Plan
    cells: np.ndarray
    inside: np.ndarray


def slab(seed, *, turn=0.0):
    """A slab from a seed, its plan turned by an angle [rad] about a place far from the origin."""
    draw = random.Random(seed)  # noqa: S311 - a test repeats its slabs by their seed
    outline = _corner_cut(draw)
    thickness = draw.randrange(4, 9) * STEP
    openings = [_rectangle(draw, most=12) for _ in range(draw.randint(0, 3))]
    panels = _panels(draw, thickness=thickness)
    lines = [_line(draw) for _ in range(draw.randint(0, 6))]
    inside = _cells(outline)
    for opening in openings:
        inside &= ~_cells(opening)
    kinds = [_slab_cells(panels, thickness=thickness), np.zeros(_SHAPE, bool), np.zeros(_SHAPE, bool)]
    kinds.append(np.zeros(_SHAPE, bool))
    for panel in panels:
        kinds[1] |= _side_cells(panel, thickness=thickness)
    beams, upstands = [], []
    for number, line in enumerate(lines):
        width, depth = draw.choice((200, 400)), draw.randrange(6, 28) * STEP
        if draw.random() < 0.7:
            top = draw.choice((0, 0, 0, 150, -50))
            beams.append(_beam(number, line=line, width=width, depth=depth, top=top, turn=turn))
            kinds[2] |= _between(_strip(line, width=width), bottom=top - depth, top=top)
        else:
            foot = draw.choice((0, 0, -100))
            upstands.append(_upstand(number, line=line, width=width, height=175, foot=foot, turn=turn))
            kinds[3] |= _between(_strip(line, width=width), bottom=foot, top=foot + 175)
    plan = Plan(
        outlines=[_turned(outline, turn)],
        thickness_mm=thickness,
        openings=[_turned(opening, turn) for opening in openings],
        panels=[_panel(panel, turn=turn) for panel in panels],
        beams=beams,
        upstands=upstands,
    )
    return Made(plan, np.array([kind & inside[:, :, None] for kind in kinds]), inside)


def turned(place, turn):
    """A place turned about the origin and moved away from it."""
    x, y = place
    moved = (1_234.567, -987.654) if turn else (0, 0)
    return (
        x * math.cos(turn) - y * math.sin(turn) + moved[0],
        x * math.sin(turn) + y * math.cos(turn) + moved[1],
    )


def volume_mm3(cells):
    """Volume of cells [mm³]."""
    return float(cells.sum()) * CELL * CELL * STEP


def upright_mm2(solid, *, beside=None):
    """Faces between cells of `solid` and cells that are not, or that are in `beside` [mm²]."""
    faces = 0
    for axis in (0, 1):
        for shift in (1, -1):
            other = np.roll(solid if beside is None else beside, shift, axis=axis)
            faces += (solid & (~other if beside is None else other)).sum()
    return float(faces) * CELL * STEP


def downward_mm2(solid):
    """Faces of `solid` that look down [mm²]."""
    return float((solid & ~np.roll(solid, 1, axis=2)).sum()) * CELL * CELL


def edge_mm2(made):
    """Faces of the slab's own cells towards the outside of its plan [mm²]."""
    outside = np.broadcast_to(~made.inside[:, :, None], _SHAPE)
    return upright_mm2(made.cells[0], beside=outside)


_SHAPE = (REACH + 10, REACH + 10, TOP - BOTTOM)
_X, _Y = np.meshgrid(np.arange(_SHAPE[0]) - 4.5, np.arange(_SHAPE[1]) - 4.5, indexing="ij")


def _cells(corners):
    """Cells inside a rectilinear outline, by crossings of a ray to the right."""
    odd = np.zeros(_X.shape, bool)
    for (x1, y1), (x2, y2) in zip(corners, corners[1:] + corners[:1], strict=True):
        if x1 == x2:
            low, high = sorted((y1 / CELL, y2 / CELL))
            odd ^= (low < _Y) & (high > _Y) & (x1 / CELL > _X)
    return odd


def _between(flat, *, bottom, top):
    level = (np.arange(_SHAPE[2]) + BOTTOM + 0.5) * STEP
    return flat[:, :, None] & (level > bottom) & (level < top)


def _corner_cut(draw):
    """A rectangle with a notch in one corner."""
    wide, tall = draw.randrange(20, REACH) * CELL, draw.randrange(20, REACH) * CELL
    x, y = draw.randrange(5, wide // CELL) * CELL, draw.randrange(5, tall // CELL) * CELL
    return [(0, 0), (wide, 0), (wide, y), (x, y), (x, tall), (0, tall)]


def _rectangle(draw, *, most):
    x, y = draw.randrange(0, REACH - most) * CELL, draw.randrange(0, REACH - most) * CELL
    right, high = x + draw.randrange(2, most) * CELL, y + draw.randrange(2, most) * CELL
    return [(x, y), (right, y), (right, high), (x, high)]


def _panels(draw, *, thickness):
    found = []
    for number in range(draw.randint(0, 4)):
        corners = _rectangle(draw, most=14)
        if any((_cells(corners) & _cells(other[1])).any() for other in found):
            continue
        level = draw.choice((0, 0, -200, -300, 150))
        sides = draw.choice((100, 200)) if level and draw.random() < 0.7 else None
        thick = draw.randrange(3, 10) * STEP
        found.append((f"P{number}", corners, thick, level, sides))
    del thickness
    return found


def _slab_cells(panels, *, thickness):
    base = np.ones(_X.shape, bool)
    cells = np.zeros(_SHAPE, bool)
    for _, corners, thick, level, _ in panels:
        base &= ~_cells(corners)
        cells |= _between(_cells(corners), bottom=level - thick, top=level)
    return cells | _between(base, bottom=-thickness, top=0)


def _side_cells(panel, *, thickness):
    _, corners, thick, level, sides = panel
    if sides is None:
        return np.zeros(_SHAPE, bool)
    (x1, y1), (x2, y2) = corners[0], corners[2]
    left, right, low, high = x1 - sides, x2 + sides, y1 - sides, y2 + sides
    wall = _cells([(left, low), (right, low), (right, high), (left, high)])
    return _between(wall & ~_cells(corners), bottom=min(level - thick, -thickness), top=max(level, 0))


def _line(draw):
    """A centre line along the grid, with a bend or without one."""
    x, y = draw.randrange(2, REACH - 2) * CELL, draw.randrange(2, REACH - 2) * CELL
    along = draw.choice((1, -1)) * draw.randrange(5, 30) * CELL
    across = draw.choice((1, -1)) * draw.randrange(5, 30) * CELL
    if draw.random() < 0.6:
        return [(x, y), (x + along, y)] if draw.random() < 0.5 else [(x, y), (x, y + across)]
    return [(x, y), (x + along, y), (x + along, y + across)]


def _strip(line, *, width):
    cells = np.zeros(_X.shape, bool)
    half = width / 2
    for number, ((x1, y1), (x2, y2)) in enumerate(pairwise(line)):
        # At a bend both legs reach to its outer corner.
        before, behind = (half if number else 0), (half if number + 2 < len(line) else 0)
        if y1 == y2:
            way = 1 if x2 > x1 else -1
            xs, ys = (x1 - way * before, x2 + way * behind), (y1 - half, y1 + half)
        else:
            way = 1 if y2 > y1 else -1
            xs, ys = (x1 - half, x1 + half), (y1 - way * before, y2 + way * behind)
        cells |= (min(xs) / CELL < _X) & (max(xs) / CELL > _X) & (min(ys) / CELL < _Y) & (max(ys) / CELL > _Y)
    return cells


def _turned(corners, turn):
    return [turned(corner, turn) for corner in corners]


def _panel(panel, *, turn):
    name, corners, thick, level, sides = panel
    places = _turned(corners, turn)
    return Panel(name=name, outline=places, thickness_mm=thick, top_level_mm=level, sides_mm=sides)


def _beam(number, *, line, width, depth, top, turn):
    start, *via, end = _turned(line, turn)
    return Beam(
        name=f"B{number}", width_mm=width, depth_mm=depth, start=start, end=end, via=via, top_level_mm=top
    )


def _upstand(number, *, line, width, height, foot, turn):
    places = _turned(line, turn)
    return Upstand(name=f"U{number}", line=places, width_mm=width, height_mm=height, foot_level_mm=foot)
