"""Two bar schedules side by side: which marks a new revision changed, and how."""

from dataclasses import dataclass

from estimates.calc.steel.marks import Mark
from estimates.calc.steel.schedule import Schedule


@dataclass(frozen=True, slots=True, kw_only=True)
class Bars:
    """Bars of one mark as they are cut: cutting length [mm] and number of each kind, size, mass [kg]."""

    size_mm: int
    shape: str
    pieces: tuple[tuple[float, int], ...]
    mass_kg: float

    @property
    def count(self) -> int:
        """Bars of all lengths."""
        return sum(count for _, count in self.pieces)


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkChange:
    """A mark that two schedules state differently; a side without the mark is None."""

    mark: str
    member: str
    before: Bars | None
    after: Bars | None

    @property
    def mass_change_kg(self) -> float:
        """What came in (positive) or fell away (negative) [kg]; a missing side counts as nothing."""
        return (self.after.mass_kg if self.after else 0.0) - (self.before.mass_kg if self.before else 0.0)

    @property
    def recut(self) -> bool:
        """Whether bars cut for the earlier schedule no longer fit: size, shape or length differ."""
        if self.before is None:
            return False
        if self.after is None or (self.before.size_mm, self.before.shape) != (
            self.after.size_mm,
            self.after.shape,
        ):
            return True
        return not {length for length, _ in self.before.pieces} <= {length for length, _ in self.after.pieces}


def compare(before: Schedule, *, after: Schedule) -> tuple[MarkChange, ...]:
    """Sets two bar schedules side by side, mark by mark.

    Source: derived: a mark is the same when member, size, shape, lengths and numbers are.

    Args:
        before: the earlier schedule.
        after: the later one.

    Returns:
        The marks that differ, in the order of the later schedule, then those that fell away.
    """
    old = {(mark.mark, mark.member): mark for mark in before.marks}
    new = {(mark.mark, mark.member): mark for mark in after.marks}
    keys = (*new, *(key for key in old if key not in new))
    sides = ((key, _bars(old.get(key)), _bars(new.get(key))) for key in keys)
    return tuple(
        MarkChange(mark=mark, member=member, before=was, after=now)
        for (mark, member), was, now in sides
        if was != now
    )


def _bars(mark: Mark | None) -> Bars | None:
    if mark is None:
        return None
    pieces = tuple(sorted((piece.length_mm, piece.count) for piece in mark.pieces))
    return Bars(size_mm=mark.size_mm, shape=str(mark.shape), pieces=pieces, mass_kg=mark.mass_kg)
