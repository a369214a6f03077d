"""The bar bending schedule: a row for every mark, the sums by size, ready for page, document and file."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from estimates.calc.derivation import Input
from estimates.calc.steel.marks import Mark
from estimates.calc.steel.schedule import Schedule
from estimates.standards.values import Profile


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One mark: what the bender cuts, bends, counts and ties.

    `size` is the bar as schedules write it, as "#5" or "10 mm". `dimensions` are those of the schedule by
    letter [mm], in the order of the letters. `cutting_length_mm` is None when the bars of the mark have
    several lengths; `lengths` are all of them with their numbers, the longest first. `total` counts bars as
    drawn: one with laps or couplers, the `joints`, once, though it is cut in parts. `shape` is the code or
    the word in the catalogue `catalogue`, which carries its edition. `formula` worked out from `inputs` gives
    `mass_kg`.
    """

    mark: str
    member: str
    size_mm: int
    size: str
    shape: str
    catalogue: str
    dimensions: Mapping[str, float]
    per_member: int
    members: int
    total: int
    joints: int
    cutting_length_mm: float | None
    lengths: tuple[tuple[float, int], ...]
    total_length_m: float
    mass_kg: float
    remark: str
    formula: str
    inputs: Mapping[str, Input]
    method: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeSum:
    """All bars of one size: number, length [m], mass per metre with its source, mass [kg]."""

    size_mm: int
    size: str
    grade: str
    bars: int
    length_m: float
    mass_kg_per_m: float
    mass_kg: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BendingSchedule:
    """Rows in the order of the sheet, sizes from small to large, and the letters that any row uses."""

    rows: tuple[Row, ...]
    sizes: tuple[SizeSum, ...]
    letters: tuple[str, ...] = field(default=())

    @property
    def bars(self) -> int:
        """Bars of all marks."""
        return sum(row.total for row in self.rows)

    @property
    def mass_kg(self) -> float:
        """Mass of all bars [kg]."""
        return sum(size.mass_kg for size in self.sizes)


def table(schedule: Schedule, *, profile: Profile) -> BendingSchedule:
    """Sets the worked-out schedule of a sheet as a bar bending schedule.

    Source: derived: the marks as worked out; columns as bar schedules have them (BS 8666, IS 2502).

    Args:
        schedule: the bar schedule worked out, lengths [mm], masses [kg].
        profile: the standards profile, for the names of the sizes.

    Returns:
        The table: cutting lengths [mm], sums of length [m] and of mass [kg].

    >>> from importlib.resources import files
    >>> from estimates.calc.reading import reader as sheets
    >>> from estimates.calc.steel import schedule
    >>> from estimates.standards import load
    >>> text = files("estimates").joinpath("examples/roof-over-ridge-house.json").read_text(encoding="utf-8")
    >>> profile = load.profile("is")
    >>> worked = table(schedule.compute(sheets.read(text), profile=profile), profile=profile)
    >>> worked.rows[0].total, worked.rows[0].cutting_length_mm, worked.letters
    (124, 3920.0, ('A', 'B', 'C'))
    """
    rows = tuple(_row(mark, size=profile.bar(mark.size_mm).designation) for mark in schedule.marks)
    bars: dict[int, int] = {}
    for row in rows:
        bars[row.size_mm] = bars.get(row.size_mm, 0) + row.total
    sizes = tuple(
        SizeSum(
            size_mm=total.size_mm,
            size=profile.bar(total.size_mm).designation,
            grade=total.grade,
            bars=bars[total.size_mm],
            length_m=total.length_mm / 1000,
            mass_kg_per_m=total.mass_kg_per_m,
            mass_kg=total.mass_kg,
            source=total.source,
        )
        for total in schedule.sizes
    )
    letters = sorted({letter for row in rows for letter in row.dimensions})
    return BendingSchedule(rows=rows, sizes=sizes, letters=tuple(letters))


def _row(mark: Mark, *, size: str) -> Row:
    lengths = sorted(((piece.length_mm, piece.count) for piece in mark.pieces), reverse=True)
    return Row(
        mark=mark.mark,
        member=mark.member,
        size_mm=mark.size_mm,
        size=size,
        shape=mark.shape,
        catalogue=mark.catalogue,
        dimensions=dict(sorted(mark.dimensions.items())),
        per_member=mark.count,
        members=mark.members,
        total=mark.bars - mark.laps - mark.couplers,
        joints=mark.laps + mark.couplers,
        cutting_length_mm=mark.cutting_length_mm,
        lengths=tuple(lengths),
        total_length_m=mark.total_length_mm / 1000,
        mass_kg=mark.mass_kg,
        remark=mark.remark,
        formula=mark.formula,
        inputs=mark.inputs,
        method=mark.method,
        source=mark.source,
    )
