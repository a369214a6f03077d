"""Checks of joints: a construction joint parts the slab, a joint to existing concrete lies along its edge."""

from collections.abc import Iterator
from typing import Final

from estimates.calc.geometry import pours, rings
from estimates.calc.reading import beam_checks, named
from estimates.calc.reading.ground import Ground
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.calc.sheet.joints import ConstructionJoint, ExistingJoint

_NEAR_MM: Final = 5.0
_LEAST_PART_MM2: Final = 10_000.0
_ALONG: Final = 0.99


def faults(draft: Draft, *, slab: Ground | None) -> Iterator[Fault]:
    """Finds what is impossible in the joints of a sheet.

    Source: derived: plane geometry.

    Args:
        draft: the parts of the sheet that could be read.
        slab: the slab in plan, when its outlines are sound.

    Returns:
        The faults in the order of the sheet.
    """
    found = draft.shapes.construction_joints
    yield from named.twice({index: joint.name for index, joint in found.items()}, kind="construction_joints")
    for index, joint in found.items():
        path, name = f"construction_joints[{index}]", f"joint {joint.name}"
        yield from _beam_names(joint, path=path, name=name, draft=draft)
        line = list(beam_checks.line_faults(joint.line, name=name, path=f"{path}.line"))
        yield from line
        if not line and slab is not None:
            yield from _parts(joint, path=f"{path}.line", name=name, slab=slab)
    existing = draft.shapes.existing_joints
    yield from named.twice({index: joint.name for index, joint in existing.items()}, kind="existing_joints")
    for index, face in existing.items():
        yield from _existing(face, path=f"existing_joints[{index}]", draft=draft, slab=slab)


def _beam_names(joint: ConstructionJoint, *, path: str, name: str, draft: Draft) -> Iterator[Fault]:
    known = {beam.name for beam in draft.beams.values()}
    for field in ("beams_left", "beams_right"):
        for beam in getattr(joint, field):
            if beam not in known:
                yield Fault(
                    f"{path}.{field}",
                    "unknown_beam",
                    f"{name}: beam {show(beam)} is not in the sheet; correct its name",
                )
    for beam in sorted({*joint.beams_left} & {*joint.beams_right}):
        yield Fault(
            f"{path}.beams_right",
            "both_sides",
            f"{name}: beam {show(beam)} cannot be cast whole with both sides; name it once",
        )


def _parts(joint: ConstructionJoint, *, path: str, name: str, slab: Ground) -> Iterator[Fault]:
    left = rings.intersection(slab.region, pours.left_of(joint.line))
    area = rings.area_mm2(left)
    if min(area, rings.area_mm2(slab.region) - area) < _LEAST_PART_MM2:
        yield Fault(
            path,
            "parts_nothing",
            f"{name}: its line does not part the slab, one side has less than {_LEAST_PART_MM2 / 1e6:g} m²; "
            "draw it across the slab",
        )


def _existing(joint: ExistingJoint, *, path: str, draft: Draft, slab: Ground | None) -> Iterator[Fault]:
    name = f"joint {joint.name}"
    line = list(beam_checks.line_faults(joint.line, name=name, path=f"{path}.line"))
    yield from line
    if not line and slab is not None:
        rim = rings.difference(
            rings.grown(slab.region, by_mm=_NEAR_MM), rings.grown(slab.region, by_mm=-_NEAR_MM)
        )
        if rings.length_within(joint.line, rim) < rings.length_mm(joint.line) * _ALONG:
            yield Fault(
                f"{path}.line",
                "not_on_edge",
                f"{name}: its line leaves the slab's edge by more than {_NEAR_MM:g} mm; draw it along "
                "the edge that meets the old concrete",
            )
    dowels = joint.dowels
    if dowels is not None and dowels.drilled_mm >= dowels.length_mm:
        yield Fault(
            f"{path}.dowels.drilled_mm",
            "too_large",
            f"{name}: drilled_mm {show(dowels.drilled_mm)} mm must be less than the dowel's length_mm "
            f"{show(dowels.length_mm)} mm; correct one of them",
        )
    depths = [panel.thickness_mm for panel in draft.shapes.panels.values()]
    depths += [beam.depth_mm for beam in draft.beams.values()]
    if draft.thickness_mm is not None and joint.thickness_mm > max([draft.thickness_mm, *depths]):
        yield Fault(
            f"{path}.thickness_mm",
            "too_large",
            f"{name}: thickness_mm {show(joint.thickness_mm)} mm is more than any part of the slab is deep, "
            f"{show(max([draft.thickness_mm, *depths]))} mm; correct it",
        )
