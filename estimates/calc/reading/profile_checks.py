"""Checks of a design sheet's words against its profile: grades and exposure as that profile names them."""

from collections.abc import Iterator
from typing import Final

from estimates.calc.sheet import grades
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.calc.sheet.types import ProfileId

FIELDS: Final = frozenset({"grade", "steel_grade", "exposure"})
"""The fields of a sheet whose words differ by profile."""

_EUROPEAN: Final = ("values", "structural_class", "deviation_mm")


def faults(draft: Draft) -> Iterator[Fault]:
    """Finds grades and an exposure that the sheet's profile does not know.

    Source: the profile's standards: IS 456 and IS 1786, EN 206 and EN 10080, ACI 318 and ASTM A615.

    Args:
        draft: the parts of the sheet that could be read.

    Returns:
        The faults in the order of the sheet; none when the profile itself could not be read.

    >>> [fault.message for fault in faults(Draft(profile="en", grade="M20"))]
    ["grade 'M20' is not a concrete grade of profile en; write it as C25/30"]
    """
    profile = draft.profile
    if profile is None:
        return
    if draft.grade is not None and grades.concrete(draft.grade, profile=profile) is None:
        example = grades.CONCRETE[profile].example
        message = (
            f"grade {show(draft.grade)} is not a concrete grade of profile {profile}; write it as {example}"
        )
        yield Fault("grade", "bad_text", message)
    if draft.steel_grade is not None and grades.steel(draft.steel_grade, profile=profile) is None:
        message = (
            f"steel_grade {show(draft.steel_grade)} is not a steel grade of profile {profile}; "
            f"write it as {grades.STEEL[profile].example}"
        )
        yield Fault("steel_grade", "bad_text", message)
    yield from _exposures(draft, profile=profile)
    if draft.durability is not None and profile != "en":
        for name in _EUROPEAN:
            if getattr(draft.durability, name) is not None:
                message = f"{name} is of profile en and means nothing in profile {profile}; take it out"
                yield Fault(f"durability.{name}", "of_other_profile", message)


def _exposures(draft: Draft, *, profile: ProfileId) -> Iterator[Fault]:
    known = grades.EXPOSURES[profile]
    further = () if draft.durability is None else draft.durability.further
    named = [("exposure", draft.exposure)]
    named += [(f"durability.further[{at}]", name) for at, name in enumerate(further)]
    for path, name in named:
        if name is not None and name not in known:
            message = (
                f"exposure {show(name)} is not a class of profile {profile}; choose one of {', '.join(known)}"
            )
            yield Fault(path, "not_a_choice", message)
