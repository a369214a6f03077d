"""Checks of a design sheet's works: unknown names, edges that are not there, things said twice."""

from collections.abc import Iterator, Mapping

from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.calc.sheet.works import Consumable, Crew, Curing, Plant, Waterproofing
from estimates.calc.works import consumables, curing, plant, waterproofing
from estimates.standards.values import Profile, StandardsError


def faults(draft: Draft, *, profile: Profile | None) -> Iterator[Fault]:
    """Finds contradictions within the works.

    Source: derived: a named method is one of the profile's, an edge is one of the outline's.

    Args:
        draft: the parts of the sheet that could be read.
        profile: the standards profile, None when the sheet names none.

    Returns:
        The faults in the order of the sheet.

    >>> [fault.code for fault in faults(Draft(crew=Crew()), profile=None)]
    ['missing']
    """
    if profile is not None and draft.curing is not None:
        yield from _curing(draft.curing, profile=profile)
    yield from _consumables(draft.consumables, profile=profile)
    if draft.waterproofing is not None:
        yield from _waterproofing(draft.waterproofing, draft=draft, profile=profile)
    yield from _norms(draft.plant, draft.crew, profile=profile)


def _curing(wanted: Curing, *, profile: Profile) -> Iterator[Fault]:
    known = curing.rules(profile)
    unknown = list(_known(wanted.rule, path="curing.rule", known=known, profile=profile))
    yield from unknown
    if unknown or not known or wanted.days is not None:
        return
    try:
        curing.least_days(wanted, profile=profile)
    except StandardsError as lack:
        message = (
            f"the rule has no days for this: {lack}; choose another gain or temperature, or state the days"
        )
        yield Fault("curing.strength_gain", "no_such_row", message)


def _consumables(wanted: Mapping[int, Consumable], *, profile: Profile | None) -> Iterator[Fault]:
    items = {index: row.item for index, row in wanted.items()}
    for index, row in wanted.items():
        at = f"consumables[{index}]"
        first = next(place for place, item in items.items() if item == row.item)
        if first != index:
            message = f"{row.item} already stands at consumables[{first}]; give it once"
            yield Fault(f"{at}.item", "duplicate_name", message)
        if row.rate is not None and row.method is not None:
            message = "a rate is stated or named, not both; take one of them out"
            yield Fault(f"{at}.rate", "stated_twice", message)
        elif profile is not None:
            known = consumables.methods(row.item, profile=profile)
            yield from _known(row.method, path=f"{at}.method", known=known, profile=profile)


def _waterproofing(wanted: Waterproofing, *, draft: Draft, profile: Profile | None) -> Iterator[Fault]:
    if profile is not None:
        known = waterproofing.systems(profile)
        yield from _known(wanted.system, path="waterproofing.system", known=known, profile=profile)
    if draft.outline is None:
        return
    count = len(draft.outline)
    for index, turn_up in enumerate(wanted.turn_ups):
        at = f"waterproofing.turn_ups[{index}].edges"
        for edge in turn_up.edges:
            if edge > count:
                yield Fault(
                    at, "no_such_edge", f"edge {edge} is not there; the outline has edges 1 to {count}"
                )
        if len(set(turn_up.edges)) != len(turn_up.edges):
            yield Fault(at, "duplicate_name", "an edge stands twice; give each once")


def _norms(machines: Plant | None, people: Crew | None, *, profile: Profile | None) -> Iterator[Fault]:
    if people is not None and people == Crew():
        message = "the crew is empty; name a norm or give days, or leave the crew out"
        yield Fault("crew.norm", "missing", message)
    if profile is None:
        return
    known = plant.norms(profile)
    if machines is not None:
        yield from _known(machines.norm, path="plant.norm", known=known, profile=profile)
    if people is not None:
        yield from _known(people.norm, path="crew.norm", known=known, profile=profile)


def _known(name: str | None, *, path: str, known: tuple[str, ...], profile: Profile) -> Iterator[Fault]:
    if name is not None and name not in known:
        names = ", ".join(known) or "none"
        message = f"{show(name)} is not known to profile {profile.id}; it has {names}"
        yield Fault(path, "unknown_method", message)
