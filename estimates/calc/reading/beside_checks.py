"""Checks of what is cast beside the slab's layers: sunshades and stairs."""

import math
from collections.abc import Iterator
from typing import Final

from estimates.calc.reading import named
from estimates.calc.reading.ground import Ground
from estimates.calc.sheet import outline as outlines
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault

_SHORTEST_MM: Final = 1.0


def faults(draft: Draft, *, slab: Ground | None) -> Iterator[Fault]:
    """Finds what is impossible in the sunshades and flights of a sheet by themselves.

    Source: derived: plane geometry.

    Args:
        draft: the parts of the sheet that could be read.
        slab: the slab in plan, when its outlines are sound.

    Returns:
        The faults in the order of the sheet.
    """
    del slab
    shades, flights = draft.shapes.sunshades, draft.shapes.flights
    yield from named.twice({index: shade.name for index, shade in shades.items()}, kind="sunshades")
    for index, shade in shades.items():
        if math.dist(shade.start, shade.end) < _SHORTEST_MM:
            yield Fault(
                f"sunshades[{index}].end",
                "no_length",
                f"sunshade {shade.name} starts and ends at {outlines.place(shade.start)}; correct one end",
            )
    yield from named.twice({index: flight.name for index, flight in flights.items()}, kind="flights")
    for index, flight in flights.items():
        if (flight.start is None) != (flight.towards is None):
            missing = "start" if flight.start is None else "towards"
            yield Fault(
                f"flights[{index}].{missing}",
                "missing",
                f"flight {flight.name}: {missing} is missing; give both places for the drawing, or neither",
            )
        elif flight.start is not None and flight.towards is not None and flight.start == flight.towards:
            yield Fault(
                f"flights[{index}].towards",
                "no_length",
                f"flight {flight.name} starts at {outlines.place(flight.start)} and climbs towards the same "
                "place; correct one of them",
            )
