"""Checks of a design sheet's welded fabric: marks, designations, laps."""

from collections.abc import Iterator

from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.calc.steel import fabric
from estimates.standards.values import Profile


def faults(draft: Draft, *, profile: Profile | None) -> Iterator[Fault]:
    """Finds what is impossible or contradictory in the fabric of a sheet.

    Source: the profile's table of fabrics.

    Args:
        draft: the parts of the sheet that could be read.
        profile: the standards profile, None when the sheet names none.

    Returns:
        The faults in the order of the sheet.

    >>> list(faults(Draft(), profile=None))
    []
    """
    taken = set(draft.marks)
    for index, layer in draft.fabrics.items():
        path, name = f"fabrics[{index}]", f"fabrics[{index}] {layer.mark}"
        if layer.mark in taken:
            message = f"mark {show(layer.mark)} already stands in the sheet; give each row its own mark"
            yield Fault(f"{path}.mark", "duplicate_mark", message)
        taken.add(layer.mark)
        if profile is None:
            continue
        known = fabric.known(profile)
        if layer.fabric not in known:
            words = f"is not in the table of profile {profile.id}; use {', '.join(known)}"
            message = f"{name}: fabric {show(layer.fabric)} {words}"
            yield Fault(f"{path}.fabric", "unknown_fabric", message)
            continue
        for side, over in ((True, "sheet_width"), (False, "sheet_length")):
            lap, most = fabric.lap(layer, side=side, profile=profile), f"fabric.{layer.fabric}.{over}"
            if lap.value >= profile.number(most):
                message = (
                    f"{name}: a lap of {show(lap.value)} mm must be less than the sheet's "
                    f"{show(profile.number(most))} mm; correct it"
                )
                yield Fault(f"{path}.lap_mm", "lap_too_long", message)
