"""Which beams a row of the schedule speaks of, and how many members that makes."""

import re
from collections.abc import Collection
from typing import Final

_BREAKS: Final = re.compile(r"[\s,;:/&+()]+")
_SLAB: Final = "slab"


def beams_named(member: str, *, beams: Collection[str]) -> list[str]:
    """The beams that the schedule's words name.

    Source: derived: a word of the text that is the name of a beam of the sheet.

    Args:
        member: the schedule's words, as "stirrups B1, B3".
        beams: names of the sheet's beams.

    Returns:
        The names in the order of the text, each once.

    >>> beams_named("stirrups B1, B3", beams={"B1", "B2", "B3"})
    ['B1', 'B3']
    """
    return list(dict.fromkeys(word for word in _BREAKS.split(member) if word in beams))


def number_named(member: str, *, beams: Collection[str], slab: str) -> int | None:
    """How many members the schedule's words name: its beams, or the one slab of the sheet.

    Source: derived: as `beams_named`; a sheet has one slab.

    Args:
        member: the schedule's words.
        beams: names of the sheet's beams.
        slab: name of the slab.

    Returns:
        The number, None when the words name nothing that the sheet knows.

    >>> number_named("slab", beams={"B1"}, slab="Roof")
    1
    """
    named = beams_named(member, beams=beams)
    if named:
        return len(named)
    return 1 if member.strip().casefold() in {_SLAB, slab.strip().casefold()} else None
