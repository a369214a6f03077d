"""The pours into which construction joints divide a slab."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from estimates.calc.geometry import faces, rings, solid
from estimates.calc.geometry.faces import Face, FaceKind
from estimates.calc.geometry.rings import PlanPoint, Region
from estimates.calc.geometry.solid import Solid
from estimates.calc.sheet.joints import ConstructionJoint
from estimates.calc.sheet.shape import Beam

_FAR_MM: Final = 450_000.0
_SPECK_MM2: Final = 100.0
_TURN: Final = math.pi / 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One pour: its region in plan, its solid, and the stop ends that are formed for it [mm²]."""

    region: Region
    solid: Solid
    faces: tuple[Face, ...]
    stop_end_mm2: float

    @property
    def form_mm2(self) -> float:
        """Its contact area: soffits, open faces, and the stop ends formed for it [mm²]."""
        open_faces = [face.area_mm2 for face in self.faces if face.kind != FaceKind.JOINT]
        soffits = [soffit.area_mm2 for soffit in faces.soffits(self.solid)]
        return math.fsum([*open_faces, *soffits, self.stop_end_mm2])


def regions(
    footprint: Region, *, joints: Sequence[ConstructionJoint], beams: Iterable[Beam]
) -> tuple[Region, ...]:
    """The plan of each pour: what lies to the left of the first joint comes first.

    Source: derived: each joint parts what it crosses; a beam named with a side goes whole with that side.

    Args:
        footprint: the slab in plan.
        joints: the construction joints, in the order of the sheet.
        beams: the beams that they may name.

    Returns:
        One region for each pour; the slab itself without a joint.
    """
    named = {beam.name: rings.strip(beam.line, width_mm=beam.width_mm) for beam in beams}
    cells = [footprint]
    for joint in joints:
        left = left_of(joint.line)
        for name in joint.beams_left:
            left = rings.union(left, named.get(name, []))
        for name in joint.beams_right:
            left = rings.difference(left, named.get(name, []))
        parted = [
            part
            for cell in cells
            for part in (rings.intersection(cell, left), rings.difference(cell, left))
            if rings.area_mm2(part) > _SPECK_MM2
        ]
        cells = parted
    return tuple(cells)


def left_of(line: Sequence[PlanPoint]) -> Region:
    """All that lies to the left of a line that runs on beyond both of its ends.

    Source: derived.

    Args:
        line: corners in order [mm].

    Returns:
        The region, as far as a drawing may reach.

    >>> house = [rings.ring([(0, -1), (2, -1), (2, 3), (0, 3)])]
    >>> rings.area_mm2(rings.intersection(left_of([(0, 0), (1, 0)]), house))
    6.0
    """
    (x1, y1), (x2, y2) = line[0], line[1]
    back = math.atan2(y1 - y2, x1 - x2)
    (x3, y3), (x4, y4) = line[-2], line[-1]
    ahead = math.atan2(y4 - y3, x4 - x3)
    sweep = (back - ahead) % (2 * math.pi)
    steps = max(2, math.ceil(sweep / _TURN))
    far = [
        (
            math.cos(ahead + sweep * step / steps) * _FAR_MM * 2,
            math.sin(ahead + sweep * step / steps) * _FAR_MM * 2,
        )
        for step in range(1, steps)
    ]
    first = (x1 + math.cos(back) * _FAR_MM, y1 + math.sin(back) * _FAR_MM)
    last = (x4 + math.cos(ahead) * _FAR_MM, y4 + math.sin(ahead) * _FAR_MM)
    return [rings.ring([first, *line, last, *far])]


def divide(whole: Solid, *, joints: Sequence[ConstructionJoint], beams: Iterable[Beam]) -> tuple[Part, ...]:
    """Divides a slab along its construction joints.

    Source: derived: every prism is clipped to the region of its pour.

    Args:
        whole: the slab.
        joints: the construction joints.
        beams: the beams that they may name.

    Returns:
        The pours in the order of `regions`, none without a joint; a stop end counts to the first of its two.
    """
    if not joints:
        return ()
    cells = regions(whole.footprint, joints=joints, beams=beams)
    found = []
    for number, cell in enumerate(cells):
        part = solid.clipped(whole, to=cell)
        later = solid.clipped(whole, to=rings.union(*cells[number:]))
        stop_ends = (f.area_mm2 for f in faces.vertical(part, whole=later) if f.kind == FaceKind.JOINT)
        found.append(
            Part(
                region=cell,
                solid=part,
                stop_end_mm2=math.fsum(stop_ends) if number + 1 < len(cells) else 0.0,
                faces=faces.vertical(part, whole=whole),
            )
        )
    return tuple(found)
