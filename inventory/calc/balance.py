"""Balances from movements: what lies where, from the record alone.

A movement has two ends and one positive quantity, so the balance of a place is what came in less what
went out.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from inventory.calc.costing import Pool
from inventory.calc.places import Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One change of stock.

    Args:
        key: unique name of the movement.
        source: place that it leaves.
        target: place that it enters.
        material: code of the material.
        lot: name of the lot, empty when the material has none.
        quantity: stock units, above 0.
        value: minor units that travel along, 0 or more.
        reverses: key of the movement that this one takes back, or None.
    """

    key: str
    source: Place
    target: Place
    material: str
    quantity: int
    value: int
    lot: str = ""
    reverses: str | None = None

    def __post_init__(self) -> None:
        if self.quantity <= 0:
            raise ValueError(f"movement {self.key}: quantity {self.quantity} must be above 0")
        if self.value < 0:
            raise ValueError(f"movement {self.key}: value {self.value} must be 0 or more")
        if self.source == self.target:
            raise ValueError(
                f"movement {self.key}: source and target are both {self.source}; name two places"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjustment:
    """A later change of the value, not of the quantity, of what a place holds (minor units, never 0)."""

    place: Place
    material: str
    value: int

    def __post_init__(self) -> None:
        if self.value == 0:
            raise ValueError(f"adjustment of {self.material} at {self.place}: value 0 changes nothing")


@dataclass(frozen=True, slots=True, order=True)
class Slot:
    """Where quantities are kept apart: a place, a material and a lot."""

    place: Place
    material: str
    lot: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortfall:
    """A movement that takes more than there is: wanted and there in stock units, `missing` the difference."""

    key: str
    slot: Slot
    wanted: int
    there: int

    @property
    def missing(self) -> int:
        """Stock units that are not there, above 0."""
        return self.wanted - self.there


def quantities(movements: Iterable[Movement]) -> dict[Slot, int]:
    """Add up what lies at each place, per material and lot.

    Source: derived: balance = in - out.

    Args:
        movements: any movements, in any order.

    Returns:
        Stock units by slot, slots in order, empty slots left out. Places outside the firm's hands
        (supplier, opening, ...) are negative by what they gave.

    >>> from inventory.calc.places import PlaceKind
    >>> mill, yard = Place(PlaceKind.SUPPLIER, 1), Place(PlaceKind.STORE, 1)
    >>> move = Movement(key="a", source=mill, target=yard, material="cement", quantity=50_000, value=39_750)
    >>> quantities([move])[Slot(yard, "cement")]
    50000
    """
    found: defaultdict[Slot, int] = defaultdict(int)
    for move in movements:
        found[Slot(move.source, move.material, move.lot)] -= move.quantity
        found[Slot(move.target, move.material, move.lot)] += move.quantity
    return {slot: found[slot] for slot in sorted(found) if found[slot] != 0}


def pools(
    movements: Iterable[Movement], *, adjustments: Iterable[Adjustment] = ()
) -> dict[tuple[Place, str], Pool]:
    """Add up quantity and value of each guarded place and material, its lots together.

    Source: derived: balance = in - out; one value pool per place and material.

    Args:
        movements: any movements, in any order.
        adjustments: later changes of value alone.

    Returns:
        `Pool(quantity, value)` by (place, material) in order, those with neither left out.

    Raises:
        ValueError: a guarded place would hold less than nothing, or value without quantity.

    >>> from inventory.calc.places import PlaceKind
    >>> mill, yard = Place(PlaceKind.SUPPLIER, 1), Place(PlaceKind.STORE, 1)
    >>> move = Movement(key="a", source=mill, target=yard, material="cement", quantity=50_000, value=39_750)
    >>> pools([move])[yard, "cement"]
    Pool(quantity=50000, value=39750)
    """
    found: defaultdict[tuple[Place, str], list[int]] = defaultdict(lambda: [0, 0])
    for move in movements:
        for place, sign in ((move.source, -1), (move.target, 1)):
            found[place, move.material][0] += sign * move.quantity
            found[place, move.material][1] += sign * move.value
    for change in adjustments:
        found[change.place, change.material][1] += change.value
    return {key: Pool(*found[key]) for key in sorted(found) if key[0].guarded and found[key] != [0, 0]}


def shortfall(movement: Movement, *, there: int) -> Shortfall | None:
    """Say whether a movement takes more from its source than lies there.

    Source: derived: a place that can be touched holds nothing or more.

    Args:
        movement: the movement about to be recorded.
        there: stock units of its material and lot at its source.

    Returns:
        The shortfall, or None when there is enough or the source is not a guarded place.

    >>> from inventory.calc.places import PlaceKind
    >>> yard, slab = Place(PlaceKind.STORE, 1), Place(PlaceKind.SLAB, 7)
    >>> move = Movement(key="a", source=yard, target=slab, material="cement", quantity=500_000, value=0)
    >>> shortfall(move, there=450_000).missing
    50000
    """
    if not movement.source.guarded or movement.quantity <= there:
        return None
    slot = Slot(movement.source, movement.material, movement.lot)
    return Shortfall(key=movement.key, slot=slot, wanted=movement.quantity, there=there)


def shortfalls(movements: Iterable[Movement]) -> tuple[Shortfall, ...]:
    """Find every movement that took more than was there when it was recorded.

    Source: derived: guarded places never go below nothing, in recorded order.

    Args:
        movements: all movements of the places concerned, in the order in which they were recorded.

    Returns:
        The shortfalls in the same order; empty when the record is sound.

    >>> shortfalls([])
    ()
    """
    running: defaultdict[Slot, int] = defaultdict(int)
    faults = []
    for move in movements:
        source = Slot(move.source, move.material, move.lot)
        fault = shortfall(move, there=running[source])
        if fault is not None:
            faults.append(fault)
        running[source] -= move.quantity
        running[replace(source, place=move.target)] += move.quantity
    return tuple(faults)
