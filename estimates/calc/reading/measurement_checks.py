"""Checks of the named rules of measurement."""

from collections.abc import Iterator

from estimates.calc.formwork import measured
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.standards.load import Profile


def faults(draft: Draft, *, profile: Profile | None) -> Iterator[Fault]:
    """Finds rules of measurement that the profile has not.

    Source: the profile's named rules.

    Args:
        draft: the parts of the sheet that could be read.
        profile: the standards profile, when it is known.

    Returns:
        The fault.

    >>> from estimates.standards import load
    >>> list(faults(Draft(), profile=load.profile("is")))
    []
    """
    name = draft.shapes.measurement
    if name is not None and profile is not None and name not in measured.names(profile):
        yield Fault(
            "measurement",
            "unknown_method",
            f"measurement {show(name)} is not one of {', '.join(measured.names(profile))}; choose one, or "
            "leave it out",
        )
