"""Joints: where the slab is cast in parts, and where it meets concrete that stands already.

Lengths are in millimetres throughout. Unknown fields are refused everywhere.
"""

from pydantic import Field
from pydantic.dataclasses import dataclass

from estimates.calc.sheet import types
from estimates.calc.sheet.strict import STRICT


@dataclass(frozen=True, kw_only=True, config=STRICT)
class ConstructionJoint:
    """A joint, agreed by the engineer, that divides the slab into pours."""

    name: types.Member
    """Name on the drawing."""
    line: types.PlanLine
    """The joint in plan; its first and last parts run on until they leave the slab [mm]."""
    engineer: types.Person = ""
    """Who agreed to it."""
    agreed: types.Dated | None = None
    """When, as 2026-05-11."""
    beams_left: types.BeamNames = ()
    """Beams cast whole with the side to the left of the line."""
    beams_right: types.BeamNames = ()
    """Beams cast whole with the side to the right of the line."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Dowels:
    """Bars across a joint to concrete that stands already."""

    kind: types.DowelKind = "dowel"
    """Plain dowels drilled in, or couplers left in the old concrete."""
    size_mm: types.BarSize
    """Nominal diameter [mm]."""
    spacing_mm: types.Length
    """Centre to centre along the joint [mm]."""
    length_mm: types.Length
    """Length of each bar [mm]."""
    drilled_mm: types.FreeLength = 0
    """Depth drilled into the old concrete; 0 for couplers [mm]."""
    pieces: types.Count | None = None
    """Number as the drawing prints it; left out: by the sheet's counting rule."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class ExistingJoint:
    """A face of the slab that is cast against concrete that stands already: it needs no form."""

    name: types.Member
    """Name on the drawing."""
    line: types.PlanLine
    """The face in plan, along the slab's edge [mm]."""
    thickness_mm: types.Section
    """Height of the face [mm]."""
    roughened: bool = Field(default=False, strict=True)
    """Whether the old face is roughened."""
    bonding_kg_m2: types.AreaDose | None = None
    """Bonding agent; left out: none [kg/m²]."""
    dowels: Dowels | None = None
    """Dowels or couplers; left out: none."""
