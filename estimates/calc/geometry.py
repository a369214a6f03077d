"""A slab and its beams as a stack of horizontal layers: areas, perimeters, volumes and faces.

The slab's thickness is the first layer. Below it, each distinct beam depth ends a layer whose footprint is
the union of all beams at least that deep, clipped to the slab and cut by its openings. A crossing of two
beams, and a beam inside the slab's thickness, are so counted once. All clipping is in whole micrometres.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Protocol

import pyclipper

PlanPoint = tuple[float, float]
Ring = list[tuple[int, int]]

_PER_MM: Final = 1000
_REACH_MM: Final = 1_000_000


class BeamShape(Protocol):
    """What the geometry needs to know of a beam; lengths in mm, depth with the slab's thickness included."""

    @property
    def width_mm(self) -> float:
        """Width [mm]."""

    @property
    def depth_mm(self) -> float:
        """Overall depth, the slab's thickness included [mm]."""

    @property
    def start(self) -> PlanPoint:
        """One end of the centre line [mm]."""

    @property
    def end(self) -> PlanPoint:
        """The other end of the centre line [mm]."""


@dataclass(frozen=True, slots=True)
class Layer:
    """A horizontal slice with the same footprint over its whole height."""

    top_mm: float
    bottom_mm: float
    area_mm2: float
    perimeter_mm: float

    @property
    def height_mm(self) -> float:
        """Height of the slice [mm]."""
        return self.bottom_mm - self.top_mm


@dataclass(frozen=True, slots=True)
class Stack:
    """The slab's layer and the beam layers below it, from the top down."""

    slab: Layer
    beams: tuple[Layer, ...]

    @property
    def layers(self) -> tuple[Layer, ...]:
        """All layers, from the top down."""
        return (self.slab, *self.beams)

    @property
    def volume_mm3(self) -> float:
        """Volume of concrete [mm³]."""
        return math.fsum(layer.area_mm2 * layer.height_mm for layer in self.layers)

    @property
    def edge_mm2(self) -> float:
        """Vertical faces within the slab's thickness, those of openings included [mm²]."""
        return self.slab.perimeter_mm * self.slab.height_mm

    @property
    def beam_side_mm2(self) -> float:
        """Vertical faces below the slab [mm²]."""
        return math.fsum(layer.perimeter_mm * layer.height_mm for layer in self.beams)

    @property
    def beam_soffit_mm2(self) -> float:
        """Faces that look down from a beam, at whatever depth [mm²]."""
        return self.beams[0].area_mm2 if self.beams else 0.0

    @property
    def slab_soffit_mm2(self) -> float:
        """Faces that look down from the slab between the beams [mm²]."""
        return self.slab.area_mm2 - self.beam_soffit_mm2


def stack(
    outline: Sequence[PlanPoint],
    *,
    thickness_mm: float,
    openings: Iterable[Sequence[PlanPoint]] = (),
    beams: Sequence[BeamShape] = (),
) -> Stack:
    """Cuts a slab with its beams and openings into horizontal layers.

    Source: derived: a prism's volume is footprint × height, its sides are perimeter × height.

    Args:
        outline: corners of the slab in order [mm], either way round.
        thickness_mm: thickness of the slab [mm].
        openings: corners of each opening [mm]; they cut the beams too.
        beams: beams with their tops flush with the slab's top.

    Returns:
        The stack; areas in mm², perimeters and levels in mm below the slab's top.

    Raises:
        ValueError: a ring with fewer than three corners or no area, or a place beyond 1 km.

    >>> from types import SimpleNamespace
    >>> beam = SimpleNamespace(width_mm=200, depth_mm=400, start=(0, 1000), end=(3000, 1000))
    >>> house = stack([(0, 0), (3000, 0), (3000, 2000), (0, 2000)], thickness_mm=100, beams=[beam])
    >>> house.volume_mm3 / 1e9, house.beam_side_mm2 / 1e6
    (0.78, 1.92)
    """
    edge, holes = [_ring(outline)], [_ring(opening) for opening in openings]
    footprint = _difference(edge, holes)
    depths = sorted({beam.depth_mm for beam in beams if beam.depth_mm > thickness_mm})
    layers: list[Layer] = []
    top = thickness_mm
    for depth in depths:
        deep_enough = [_ring(beam_corners(beam)) for beam in beams if beam.depth_mm >= depth]
        ribs = _intersection(_union(deep_enough), footprint)
        layers.append(_layer(ribs, top_mm=top, bottom_mm=depth))
        top = depth
    return Stack(slab=_layer(footprint, top_mm=0.0, bottom_mm=thickness_mm), beams=tuple(layers))


def beam_corners(beam: BeamShape) -> list[PlanPoint]:
    """Corners of a beam in plan: its width about the centre line, cut square at both ends.

    Source: derived: half the width to each side of the centre line.

    Args:
        beam: the beam.

    Returns:
        Four corners, counter-clockwise [mm].

    Raises:
        ValueError: a centre line of no length.
    """
    (x1, y1), (x2, y2) = beam.start, beam.end
    length = math.hypot(x2 - x1, y2 - y1)
    if length == 0:
        message = f"beam centre line from {tuple(beam.start)} to {tuple(beam.end)} has no length"
        raise ValueError(message)
    dx = -(y2 - y1) / length * beam.width_mm / 2
    dy = (x2 - x1) / length * beam.width_mm / 2
    return [(x1 - dx, y1 - dy), (x2 - dx, y2 - dy), (x2 + dx, y2 + dy), (x1 + dx, y1 + dy)]


def _ring(points: Sequence[PlanPoint]) -> Ring:
    """Whole micrometres, counter-clockwise, so that a union never takes a ring for a hole."""
    ring = [(round(x * _PER_MM), round(y * _PER_MM)) for x, y in points]
    if any(abs(x) > _REACH_MM * _PER_MM or abs(y) > _REACH_MM * _PER_MM for x, y in ring):
        message = f"a corner lies beyond {_REACH_MM} mm from the origin of the drawing"
        raise ValueError(message)
    doubled = _doubled_area(ring)
    if doubled == 0:
        message = f"the outline {[tuple(point) for point in points]} encloses no area"
        raise ValueError(message)
    return ring if doubled > 0 else ring[::-1]


def _layer(rings: Sequence[Ring], *, top_mm: float, bottom_mm: float) -> Layer:
    """Holes run clockwise, so that their areas subtract while their perimeters add."""
    area = sum(_doubled_area(ring) for ring in rings) / 2 / _PER_MM**2
    perimeter = math.fsum(
        math.dist(here, there)
        for ring in rings
        for here, there in zip(ring, ring[1:] + ring[:1], strict=True)
    )
    return Layer(top_mm=top_mm, bottom_mm=bottom_mm, area_mm2=area, perimeter_mm=perimeter / _PER_MM)


def _doubled_area(ring: Ring) -> int:
    """Twice the signed area by the shoelace rule, exact in whole numbers."""
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(ring, ring[1:] + ring[:1], strict=True))


def _union(rings: Sequence[Ring]) -> list[Ring]:
    return _clip(pyclipper.CT_UNION, subjects=rings, clips=())


def _intersection(subjects: Sequence[Ring], clips: Sequence[Ring]) -> list[Ring]:
    return _clip(pyclipper.CT_INTERSECTION, subjects=subjects, clips=clips)


def _difference(subjects: Sequence[Ring], clips: Sequence[Ring]) -> list[Ring]:
    return _clip(pyclipper.CT_DIFFERENCE, subjects=subjects, clips=clips)


def _clip(kind: int, *, subjects: Sequence[Ring], clips: Sequence[Ring]) -> list[Ring]:
    """Boundaries of the result by the non-zero rule: outer rings counter-clockwise, holes clockwise."""
    clipper = pyclipper.Pyclipper()
    clipper.AddPaths(subjects, pyclipper.PT_SUBJECT, True)  # noqa: FBT003 - pyclipper takes no keyword for "closed"
    if clips:
        clipper.AddPaths(clips, pyclipper.PT_CLIP, True)  # noqa: FBT003 - the same
    rings = clipper.Execute(kind, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    return [[(int(x), int(y)) for x, y in ring] for ring in rings]
