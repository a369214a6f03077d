"""The example sheet that the project carries, and a count of its concrete cell by cell."""

from importlib.resources import files

import numpy as np

from estimates.calc.reading import reader as sheet


def ridge_house():
    """The roof slab of Ridge House, as its drawing shows it."""
    return sheet.read(
        files("estimates").joinpath("examples/roof-over-ridge-house.json").read_text(encoding="utf-8")
    )


def depth_map(design, *, cell_mm):
    """Depth of concrete below the slab's top in each cell [mm], all lines of the plan axis-parallel.

    It knows nothing of polygons: a cell holds concrete as deep as the deepest thing that its centre lies in.
    """
    xs, ys = zip(*design.outline, strict=True)
    across = np.arange(min(xs) + cell_mm / 2, max(xs), cell_mm)
    along = np.arange(min(ys) + cell_mm / 2, max(ys), cell_mm)
    x, y = np.meshgrid(across, along)
    depth = np.full(x.shape, float(design.thickness_mm))
    for beam in design.beams:
        half = beam.width_mm / 2
        (x1, x2), (y1, y2) = sorted((beam.start[0], beam.end[0])), sorted((beam.start[1], beam.end[1]))
        if y1 == y2:
            inside = (x > x1) & (x < x2) & (abs(y - y1) < half)
        else:
            inside = (y > y1) & (y < y2) & (abs(x - x1) < half)
        depth[inside] = np.maximum(depth[inside], beam.depth_mm)
    for opening in design.openings:
        (left, right), (low, high) = (
            (min(place), max(place))
            for place in zip(*getattr(opening, "corners", None) or opening.outline, strict=True)
        )
        depth[(x > left) & (x < right) & (y > low) & (y < high)] = 0
    return depth


def counted(depth, *, cell_mm, thickness_mm):
    """Volume [m³], edge, beam sides, beam soffit and slab soffit [m²] of a depth map."""
    framed = np.pad(depth, 1)
    within = np.minimum(framed, thickness_mm)

    def faces(levels):
        return (abs(np.diff(levels, axis=0)).sum() + abs(np.diff(levels, axis=1)).sum()) * cell_mm / 1e6

    cell = (cell_mm / 1e3) ** 2
    edge = faces(within)
    beam, slab = (depth > thickness_mm).sum() * cell, (depth == thickness_mm).sum() * cell
    return [depth.sum() * cell / 1e3, edge, faces(framed) - edge, beam, slab]
