"""Taking a movement back: whole, once, and with the value that it carried."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from inventory.calc.balance import Movement


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """What is wrong with a reversal.

    Args:
        key: key of the reversal.
        code: `unknown` (no earlier movement of that key), `chained` (it reverses a reversal),
            `twice` (the movement was taken back before) or `differs` (not the whole movement mirrored).
    """

    key: str
    code: str


def reverse(movement: Movement, *, key: str) -> Movement:
    """Build the movement that takes another back: ends exchanged, everything else the same.

    Source: derived: corrections are whole reversals with the original value, not with today's average.

    Args:
        movement: the movement to take back, itself not a reversal.
        key: unique name of the new movement.

    Returns:
        The reversal, of the same quantity (stock units) and value (minor units).

    Raises:
        ValueError: the movement is itself a reversal.

    >>> from inventory.calc.places import Place, PlaceKind
    >>> yard, slab = Place(PlaceKind.STORE, 1), Place(PlaceKind.SLAB, 7)
    >>> issue = Movement(key="a", source=yard, target=slab, material="cement", quantity=50_000, value=39_750)
    >>> back = reverse(issue, key="b")
    >>> (back.source == slab, back.target == yard, back.value, back.reverses)
    (True, True, 39750, 'a')
    """
    if movement.reverses is not None:
        raise ValueError(f"movement {movement.key} is itself a reversal; record the right movement instead")
    return replace(movement, key=key, source=movement.target, target=movement.source, reverses=movement.key)


def faults(movements: Iterable[Movement]) -> tuple[Fault, ...]:
    """Check every reversal in a record.

    Source: derived: a reversal is whole, mirrors one earlier movement, and happens once.

    Args:
        movements: movements in the order in which they were recorded.

    Returns:
        One fault per bad reversal, in that order; empty when the record is sound.

    >>> from inventory.calc.places import Place, PlaceKind
    >>> yard, slab = Place(PlaceKind.STORE, 1), Place(PlaceKind.SLAB, 7)
    >>> stray = Movement(
    ...     key="b", source=slab, target=yard, material="cement", quantity=1, value=0, reverses="a"
    ... )
    >>> faults([stray])
    (Fault(key='b', code='unknown'),)
    """
    earlier: dict[str, Movement] = {}
    taken_back: set[str] = set()
    found = []
    for move in movements:
        if move.reverses is not None:
            code = _fault_code(move, original=earlier.get(move.reverses), taken_back=taken_back)
            if code:
                found.append(Fault(key=move.key, code=code))
            taken_back.add(move.reverses)
        earlier[move.key] = move
    return tuple(found)


def _fault_code(move: Movement, *, original: Movement | None, taken_back: set[str]) -> str:
    if original is None:
        return "unknown"
    if original.reverses is not None:
        return "chained"
    if original.key in taken_back:
        return "twice"
    return "" if move == reverse(original, key=move.key) else "differs"
