"""Surface waterproofing: coats over the top and up the edges."""

import math
from collections.abc import Sequence

from estimates.calc.derivation import Input, Quantity, carried, cited
from estimates.calc.sheet.types import Point
from estimates.calc.sheet.works import TurnUp, Waterproofing
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile, StandardsError


def systems(profile: Profile) -> tuple[str, ...]:
    """The named systems of surface waterproofing.

    Source: `waterproofing.<system>.per_coat` of the standards data.

    Args:
        profile: the standards profile.

    Returns:
        Their ids, in alphabetical order.

    >>> from estimates.standards import load
    >>> "cement_slurry" in systems(load.profile("is"))
    True
    """
    end = ".per_coat"
    return tuple(sorted(key.removesuffix(end) for key in profile.group("waterproofing") if key.endswith(end)))


def quantities(
    wanted: Waterproofing, *, slab: Input, outline: Sequence[Point], profile: Profile
) -> tuple[Quantity, Quantity]:
    """The area to be coated, and what the coats take.

    Source: derived: top and turn-ups, length × height, times coats and what one coat takes. The system's
    figures are `waterproofing.<system>` of the standards data, unless the sheet states them.

    Args:
        wanted: the sheet's waterproofing.
        slab: area of the slab in plan [m²].
        outline: corners of the slab [mm].
        profile: the standards profile.

    Returns:
        `waterproofing.area` [m²] and `waterproofing.coats` [kg or L].

    Raises:
        StandardsError: the profile has no such system; the message names those that it has.

    Two coats of cement slurry at 2.75 kg/m² over 100 m²:

    >>> from estimates.standards import load
    >>> slurry = Waterproofing(system="cement_slurry")
    >>> area = Input(100, "m²", "by hand")
    >>> quantities(slurry, slab=area, outline=(), profile=load.profile("is"))[1].net
    550.0
    """
    if wanted.system not in systems(profile):
        known = ", ".join(systems(profile)) or "none"
        message = f"waterproofing {wanted.system!r} is not known to profile {profile.id}; it has {known}"
        raise StandardsError(message)
    area = _area(wanted, slab=slab, outline=outline)
    return area, _coats(wanted, area=area, profile=profile)


def edge_length_m(outline: Sequence[Point], *, edge: int) -> float:
    """Length of one edge of the outline.

    Source: derived: Pythagoras.

    Args:
        outline: corners of the slab [mm].
        edge: number of the edge, counted from 1 between the first and the second corner.

    Returns:
        The length [m].

    >>> square = (Point(0, 0), Point(4000, 0), Point(4000, 3000), Point(0, 3000))
    >>> [edge_length_m(square, edge=edge) for edge in (1, 2, 3, 4)]
    [4.0, 3.0, 4.0, 3.0]
    """
    start, end = outline[edge - 1], outline[edge % len(outline)]
    return math.hypot(end.x - start.x, end.y - start.y) / 1e3


def _area(wanted: Waterproofing, *, slab: Input, outline: Sequence[Point]) -> Quantity:
    inputs, terms = {"slab": slab}, ["slab"]
    for number, turn_up in enumerate(wanted.turn_ups, start=1):
        inputs[f"length_{number}"] = _length(turn_up, outline=outline)
        source = "design sheet: waterproofing"
        inputs[f"height_{number}"] = Input(turn_up.height_mm / 1e3, "m", source)
        terms.append(f"length_{number} * height_{number}")
    return Quantity(
        key="waterproofing.area",
        member=gettext_noop("top of the slab"),
        title=gettext_noop("Area to be waterproofed, with turn-ups"),
        unit="m²",
        formula=" + ".join(terms),
        inputs=inputs,
        method="top and turn-ups",
        source="derived: length × height of each turn-up",
    )


def _length(turn_up: TurnUp, *, outline: Sequence[Point]) -> Input:
    """The stated edges and the length beside them; the whole outline when neither is stated."""
    edges = turn_up.edges
    if not edges and turn_up.length_mm is None:
        edges = tuple(range(1, len(outline) + 1))
    along = math.fsum(edge_length_m(outline, edge=edge) for edge in edges)
    named = f"edges {', '.join(str(edge) for edge in edges)} of the outline" if edges else "length as stated"
    beside = (turn_up.length_mm or 0.0) / 1e3
    return Input(
        along + beside, "m", f"drawing: {named}" + (" and a stated length" if edges and beside else "")
    )


def _coats(wanted: Waterproofing, *, area: Quantity, profile: Profile) -> Quantity:
    per_coat = profile.value(f"waterproofing.{wanted.system}.per_coat")
    taken = cited(per_coat)
    if wanted.per_coat is not None:
        taken = Input(wanted.per_coat, per_coat.unit, "design sheet: waterproofing")
    coats = cited(profile.value(f"waterproofing.{wanted.system}.coats"))
    if wanted.coats is not None:
        coats = Input(float(wanted.coats), "no.", "design sheet: waterproofing")
    return Quantity(
        key="waterproofing.coats",
        member=gettext_noop("top of the slab"),
        title=gettext_noop("Surface waterproofing"),
        unit=per_coat.unit.removesuffix("/m²"),
        formula="area * coats * per_coat",
        inputs={"area": carried(area), "coats": coats, "per_coat": taken},
        method=f"coats, {wanted.system}",
        source=taken.source,
        material=profile.choice(f"waterproofing.{wanted.system}.material").value,
        kind="waterproofing",
    )
