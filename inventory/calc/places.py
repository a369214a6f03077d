"""The kinds of place between which stock moves, and which of them may not go below nothing."""

from dataclasses import dataclass
from enum import StrEnum


class PlaceKind(StrEnum):
    """What a place is. Stock comes from one place and goes to another: nothing appears from nowhere."""

    SUPPLIER = "supplier"
    OPENING = "opening"
    STORE = "store"
    QUARANTINE = "quarantine"
    IN_TRANSIT = "in_transit"
    BENCH = "bench"
    SLAB = "slab"
    OTHER_WORK = "other_work"
    WASTE = "waste"
    SOLD = "sold"
    COUNT = "count"


GUARDED: frozenset[PlaceKind] = frozenset(
    {PlaceKind.STORE, PlaceKind.QUARANTINE, PlaceKind.IN_TRANSIT, PlaceKind.BENCH, PlaceKind.SLAB}
)
"""Places with something in them that a person can touch: they can be empty, never less than empty."""


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """One place: its kind and the number of the thing it stands for (a site's store, a slab, a supplier)."""

    kind: PlaceKind
    ref: int = 0

    @property
    def guarded(self) -> bool:
        """Whether the balance of this place may never go negative."""
        return self.kind in GUARDED

    def __str__(self) -> str:
        return f"{self.kind} {self.ref}"
