"""How each profile writes its grades of concrete and steel, and what it calls its exposures."""

import re
from collections.abc import Mapping
from typing import Final, NamedTuple

from estimates.calc.sheet.types import ProfileId
from estimates.standards.values import Profile


class Writing(NamedTuple):
    """The form of a grade with an example of it."""

    form: re.Pattern[str]
    example: str


CONCRETE: Final[Mapping[ProfileId, Writing]] = {
    "is": Writing(re.compile(r"M([1-9][0-9]{0,2})"), "M20"),
    "en": Writing(re.compile(r"C([1-9][0-9]{0,2})/([1-9][0-9]{0,2})"), "C25/30"),
    "aci": Writing(re.compile(r"([1-9][0-9]{3,4}) psi"), "4000 psi"),
}
"""Characteristic cube strength [MPa]; cylinder over cube [MPa]; specified cylinder strength [psi]."""

STEEL: Final[Mapping[ProfileId, Writing]] = {
    "is": Writing(re.compile(r"Fe([1-9][0-9]{2})[DS]?"), "Fe500"),
    "en": Writing(re.compile(r"B([1-9][0-9]{2})[ABC]"), "B500B"),
    "aci": Writing(re.compile(r"Grade ([1-9][0-9]{1,2})"), "Grade 60"),
}
"""Yield strength [MPa, MPa, ksi]."""

EXPOSURES: Final[Mapping[ProfileId, tuple[str, ...]]] = {
    "is": ("mild", "moderate", "severe", "very_severe", "extreme"),
    "en": (
        *("X0", "XC1", "XC2", "XC3", "XC4", "XD1", "XD2", "XD3", "XS1", "XS2", "XS3"),
        *("XF1", "XF2", "XF3", "XF4", "XA1", "XA2", "XA3"),
    ),
    "aci": ("F0", "F1", "F2", "F3", "S0", "S1", "S2", "S3", "W0", "W1", "W2", "C0", "C1", "C2"),
}
"""Classes of exposure, from the mildest of a kind on."""


def profile_id(text: str) -> ProfileId:
    """The profile of this name, checked.

    Source: derived: the profiles that a sheet may name.

    Args:
        text: id of a profile, as a firm keeps it.

    Returns:
        The same id.

    Raises:
        ValueError: no profile has this id.

    >>> profile_id("aci")
    'aci'
    """
    for known in EXPOSURES:
        if known == text:
            return known
    message = f"no standards profile {text!r}; known: {', '.join(EXPOSURES)}"
    raise ValueError(message)


def concrete(grade: str, *, profile: ProfileId) -> float | None:
    """The strength by which the profile names its concrete.

    Source: derived: the number of the grade: IS 456 table 2 (cube), EN 206 table 12 (cylinder before cube),
    ACI 318 chapter 19 (cylinder).

    Args:
        grade: as the sheet writes it.
        profile: id of the standards profile.

    Returns:
        Cube strength of `is` [MPa], cylinder strength of `en` [MPa] and of `aci` [psi]; None when the profile
        does not write a grade so.

    >>> concrete("C25/30", profile="en"), concrete("4000 psi", profile="aci"), concrete("M20", profile="en")
    (25.0, 4000.0, None)
    """
    read = CONCRETE[profile].form.fullmatch(grade)
    return None if read is None else float(read[1])


def named(strength: float, *, profile: Profile) -> str:
    """A grade as the profile writes it.

    Source: the profile's classes; IS 456 table 2, EN 206 table 7, ACI 318 chapter 19.

    Args:
        strength: the strength by which the profile names its concrete, see `concrete`.
        profile: the standards profile.

    Returns:
        The grade.

    >>> from estimates.standards import load
    >>> [named(s, profile=load.profile(p)) for s, p in ((25, "is"), (25, "en"), (4000, "aci"))]
    ['M25', 'C25/30', '4000 psi']
    """
    cube = profile.find(f"concrete.cube_of.{strength:g}")
    if cube is not None:
        return f"C{strength:g}/{cube.value:g}"
    return f"{strength:g} psi" if profile.id == "aci" else f"{'C' if profile.id == 'en' else 'M'}{strength:g}"


def steel(grade: str, *, profile: ProfileId) -> float | None:
    """The yield strength by which the profile names its bars.

    Source: derived: the number of the grade: IS 1786, EN 10080 with EC2 annex C, ASTM A615.

    Args:
        grade: as the sheet writes it.
        profile: id of the standards profile.

    Returns:
        Yield strength of `is` and `en` [MPa], of `aci` [ksi]; None when the profile does not write it so.

    >>> steel("B500B", profile="en"), steel("Grade 60", profile="aci"), steel("Fe500", profile="aci")
    (500.0, 60.0, None)
    """
    read = STEEL[profile].form.fullmatch(grade)
    return None if read is None else float(read[1])
