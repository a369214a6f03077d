"""The named methods of one bar schedule: those of the sheet, and for the rest those of the profile."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, cast

from estimates.calc.derivation import Input
from estimates.calc.sheet.steel import SteelMethods
from estimates.calc.sheet.types import CountMethod, CrankMethod, LengthRounding, StirrupMethod
from estimates.standards.values import Profile

_SHEET: Final = "named in the design sheet"
_ANGLES: Final = (30, 45, 60)


@dataclass(frozen=True, slots=True)
class Bend:
    """What one 90° bend takes off: an expression in the bar diameter d, its inputs, and the rule in words."""

    formula: str
    inputs: Mapping[str, Input]
    words: str


@dataclass(frozen=True, slots=True)
class Crank:
    """What one crank of an angle adds, as a share of the rise, and what its bends take off."""

    share: Input
    deduction: Input | None


@dataclass(frozen=True, slots=True)
class Rules:
    """Chosen methods with their coefficients; `sources` says what each choice rests on."""

    count: CountMethod
    stirrup: StirrupMethod
    crank: CrankMethod
    length_rounding: LengthRounding
    bend: Bend
    stirrup_addition: Input
    cranks: Mapping[int, Crank]
    sources: Mapping[str, str]


def choose(asked: SteelMethods, *, profile: Profile) -> Rules:
    """Settles the methods of a bar schedule.

    Source: the sheet where it names a method, else the profile's `steel.method.*`.

    Args:
        asked: methods named in the sheet; None leaves one to the profile.
        profile: the standards profile.

    Returns:
        The methods with their coefficients.

    >>> from estimates.standards import load
    >>> choose(SteelMethods(), profile=load.profile("is")).stirrup
    'outside_16d'
    """
    names, sources = {}, {}
    for kind in ("count", "bend", "stirrup", "crank", "length_rounding"):
        own = getattr(asked, kind)
        choice = profile.choice(f"steel.method.{kind}")
        names[kind] = own or choice.value
        sources[kind] = _SHEET if own else choice.citation
    return Rules(
        count=cast("CountMethod", names["count"]),
        stirrup=cast("StirrupMethod", names["stirrup"]),
        crank=cast("CrankMethod", names["crank"]),
        length_rounding=cast("LengthRounding", names["length_rounding"]),
        bend=_bend(names["bend"], profile=profile),
        stirrup_addition=_cited(f"steel.stirrup.{names['stirrup']}.addition", profile=profile),
        cranks={angle: _crank(names["crank"], angle=angle, profile=profile) for angle in _ANGLES},
        sources=sources,
    )


def _cited(key: str, *, profile: Profile) -> Input:
    value = profile.value(key)
    return Input(value.value, value.unit, value.citation)


def _bend(name: str, *, profile: Profile) -> Bend:
    if name.startswith("is2502"):
        radius = _cited(f"steel.bend.{name}.radius", profile=profile)
        words = f"each 90° bend takes off R/2 + d with R = {radius.value:g}d"
        return Bend("(R * d / 2 + d)", {"R": radius}, words)
    flat = _cited(f"steel.bend.{name}.deduction", profile=profile)
    words = f"each 90° bend takes off {flat.value:g}d" if flat.value else "bends are not taken off"
    return Bend("bend * d", {"bend": flat}, words)


def _crank(name: str, *, angle: int, profile: Profile) -> Crank:
    if name == "practice":
        share = _cited(f"steel.crank.practice.share.{angle}", profile=profile)
        return Crank(share, _cited(f"steel.crank.practice.deduction.{angle}", profile=profile))
    if name == "exact":
        slope = math.radians(angle)
        exact = 1 / math.sin(slope) - 1 / math.tan(slope)
        return Crank(Input(exact, "1", f"1 / sin {angle}° - 1 / tan {angle}°, on the centre line"), None)
    return Crank(_cited("steel.crank.one_depth.share", profile=profile), None)
