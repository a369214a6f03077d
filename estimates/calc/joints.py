"""Joints to concrete that stands already: roughening, bonding agent, dowels or couplers, drilled holes."""

from collections.abc import Iterator
from typing import Final

from estimates.calc.derivation import Input, Quantity, carried
from estimates.calc.geometry import rings
from estimates.calc.sheet.joints import Dowels, ExistingJoint
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.steel import CountRule
from estimates.calc.steel import counts
from estimates.calc.steel import rules as steel_rules
from estimates.calc.steel.counts import Counted
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile

_SOURCE: Final = "drawing"
_METHOD: Final = "by the drawing, net"


def quantities(sheet: DesignSheet, *, profile: Profile) -> Iterator[Quantity]:
    """What each joint to existing concrete takes.

    Source: the drawing; the number of dowels by the sheet's counting rule where the drawing prints none.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        `joint.face.n` [m²], `joint.bonding.n` [kg], `joint.dowels.n` [kg] or `joint.couplers.n` [no.], and
        `joint.holes.n` [no.], for each joint that has them.

    Raises:
        ValueError: the profile has no bar of a dowel's size.
    """
    for number, joint in enumerate(sheet.existing_joints, start=1):
        face = _face(joint, number=number)
        yield face
        if joint.bonding_kg_m2 is not None:
            yield _bonding(joint, number=number, face=face, dose=joint.bonding_kg_m2)
        if joint.dowels is not None:
            counted = _count(joint, dowels=joint.dowels, sheet=sheet, profile=profile)
            yield from _bars(joint, dowels=joint.dowels, number=number, counted=counted, profile=profile)


def _face(joint: ExistingJoint, *, number: int) -> Quantity:
    titles = {
        True: gettext_noop("Face of existing concrete to roughen"),
        False: gettext_noop("Face of existing concrete, not roughened"),
    }
    inputs = {
        "length": Input(rings.length_mm(joint.line) / 1e3, "m", _SOURCE),
        "thickness": Input(joint.thickness_mm / 1e3, "m", _SOURCE),
    }
    return Quantity(
        key=f"joint.face.{number}",
        member=joint.name,
        title=titles[joint.roughened],
        unit="m²",
        formula="length * thickness",
        inputs=inputs,
        method=_METHOD,
        source=_SOURCE,
    )


def _bonding(joint: ExistingJoint, *, number: int, face: Quantity, dose: float) -> Quantity:
    return Quantity(
        key=f"joint.bonding.{number}",
        member=joint.name,
        title=gettext_noop("Bonding agent on existing concrete"),
        unit="kg",
        formula="face * dose",
        inputs={"face": carried(face), "dose": Input(dose, "kg/m²", _SOURCE)},
        method=_METHOD,
        source=_SOURCE,
        material="bonding-agent",
        kind="bonding-agent",
    )


def _count(joint: ExistingJoint, *, dowels: Dowels, sheet: DesignSheet, profile: Profile) -> Counted:
    if dowels.pieces is not None:
        return Counted(
            dowels.pieces, "pieces", {"pieces": Input(dowels.pieces, "no.", _SOURCE)}, "as printed"
        )
    rule = CountRule(length_mm=rings.length_mm(joint.line), spacing_mm=dowels.spacing_mm)
    rules = steel_rules.choose(sheet.steel_methods, profile=profile)
    return counts.by_rule(rule, rules=rules, cover_mm=sheet.cover_mm, read_in=f"joint {joint.name}")


def _bars(
    joint: ExistingJoint, *, dowels: Dowels, number: int, counted: Counted, profile: Profile
) -> Iterator[Quantity]:
    whole = _pieces(joint, dowels=dowels, number=number, counted=counted)
    yield whole
    bar = profile.bar(dowels.size_mm)
    yield Quantity(
        key=f"joint.dowels.{number}",
        member=joint.name,
        title=gettext_noop("Steel of the bars across the joint"),
        unit="kg",
        formula="pieces * length * mass_per_metre",
        inputs={
            "pieces": carried(whole),
            "length": Input(dowels.length_mm / 1e3, "m", _SOURCE),
            "mass_per_metre": Input(bar.mass_kg_per_m, "kg/m", bar.citation),
        },
        method=counted.method,
        source=_SOURCE,
        material=f"steel-{dowels.size_mm}",
        kind="steel",
    )
    if dowels.drilled_mm:
        yield Quantity(
            key=f"joint.holes.{number}",
            member=joint.name,
            title=gettext_noop("Holes drilled into existing concrete, length in all"),
            unit="m",
            formula="pieces * depth",
            inputs={"pieces": carried(whole), "depth": Input(dowels.drilled_mm / 1e3, "m", _SOURCE)},
            method=_METHOD,
            source=_SOURCE,
        )


def _pieces(joint: ExistingJoint, *, dowels: Dowels, number: int, counted: Counted) -> Quantity:
    titles = {
        "dowel": gettext_noop("Dowels across the joint"),
        "coupler": gettext_noop("Couplers with their bars across the joint"),
    }
    return Quantity(
        key=f"joint.pieces.{number}",
        member=joint.name,
        title=titles[dowels.kind],
        unit="no.",
        formula=counted.formula,
        inputs=counted.inputs,
        method=counted.method,
        source=_SOURCE,
    )
