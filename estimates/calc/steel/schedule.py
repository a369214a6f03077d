"""The bar schedule of a slab in metres and kilograms, by mark and by size."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from estimates.calc import derivation
from estimates.calc.derivation import Input
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.supports import Chairs
from estimates.calc.steel import alternate, answering, chairs, marks, rules
from estimates.calc.steel.findings import Finding
from estimates.calc.steel.marks import Context, Mark
from estimates.standards.values import Profile


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeTotal:
    """All bars of one size; `formula` worked out from `inputs` gives `mass_kg`.

    `stock_bars` is the total length over the length of a stock bar, rounded up: a first figure for an
    enquiry, not a cutting plan, which loses offcuts.
    """

    size_mm: int
    grade: str
    marks: tuple[str, ...]
    length_mm: float
    mass_kg: float
    mass_kg_per_m: float
    stock_bars: int
    stock_length_mm: float
    method: str
    source: str
    formula: str
    inputs: Mapping[str, Input]


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """Marks in the order of the sheet, sizes from small to large, and every finding."""

    marks: tuple[Mark, ...]
    sizes: tuple[SizeTotal, ...]

    @property
    def mass_kg(self) -> float:
        """Mass of all bars [kg]."""
        return sum(size.mass_kg for size in self.sizes)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What to ask the engineer, in the order of the marks."""
        return tuple(finding for mark in self.marks for finding in mark.findings)


def compute(sheet: DesignSheet, *, profile: Profile) -> Schedule:
    """Works out every mark of a design sheet and adds them up by size.

    Source: the sheet's bar schedule and spacing rules; each mark names its methods and their sources.

    Args:
        sheet: a design sheet that `sheet.read` accepted.
        profile: the standards profile.

    Returns:
        The schedule: lengths [mm], masses [kg].

    Raises:
        ValueError: the profile's table has no bar of a size, or a row cannot be counted.

    >>> from importlib.resources import files
    >>> from estimates.calc.reading import reader as sheets
    >>> from estimates.standards import load
    >>> text = files("estimates").joinpath("examples/roof-over-ridge-house.json").read_text(encoding="utf-8")
    >>> [size.size_mm for size in compute(sheets.read(text), profile=load.profile("is")).sizes]
    [8, 10, 12, 16]
    """
    context = context_of(sheet, profile=profile)
    given = (
        *(marks.work_out(bar, context=context) for bar in (*sheet.bars, *answering.trimmers(sheet))),
        *(
            mark
            for rule in sheet.spacing_rules
            for mark in alternate.marks(rule, sheet=sheet, context=context)
        ),
        *(chairs.work_out(one, sheet=sheet, context=context) for one in _chairs(sheet)),
    )
    stock = context.stock_mm
    worked = tuple(answering.settle(mark, answers=sheet.answers, stock_mm=stock) for mark in given)
    by_size: dict[int, list[Mark]] = {}
    for mark in worked:
        by_size.setdefault(mark.size_mm, []).append(mark)
    totals = (_total(by_size[size], grade=sheet.steel_grade, context=context) for size in sorted(by_size))
    return Schedule(marks=worked, sizes=tuple(totals))


def _chairs(sheet: DesignSheet) -> tuple[Chairs, ...]:
    return () if sheet.supports is None else sheet.supports.chairs


def context_of(sheet: DesignSheet, *, profile: Profile) -> Context:
    """What all marks of a sheet share: methods, covers, names.

    Source: the sheet, and the profile for methods that it leaves open.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Returns:
        The context.

    >>> from importlib.resources import files
    >>> from estimates.calc.reading import reader as sheets
    >>> from estimates.standards import load
    >>> text = files("estimates").joinpath("examples/roof-over-ridge-house.json").read_text(encoding="utf-8")
    >>> context_of(sheets.read(text), profile=load.profile("is")).rules.count
    'spacing_plus_one_dropped'
    """
    return Context(
        profile=profile,
        rules=rules.choose(sheet.steel_methods, profile=profile),
        cover_mm=sheet.cover_mm,
        beam_cover_mm=sheet.beam_cover_mm,
        slab=sheet.slab,
        beams=frozenset(beam.name for beam in sheet.beams),
    )


def _total(of_size: Sequence[Mark], *, grade: str, context: Context) -> SizeTotal:
    size_mm = of_size[0].size_mm
    length_mm = sum(mark.total_length_mm for mark in of_size)
    mass_per_metre = context.mass_per_metre(size_mm)
    names = tuple(mark.mark for mark in of_size)
    inputs = {
        "length": Input(length_mm, "mm", f"marks {', '.join(names)}"),
        "mass_per_metre": mass_per_metre,
    }
    formula = "length / 1000 * mass_per_metre"
    return SizeTotal(
        size_mm=size_mm,
        grade=grade,
        marks=names,
        length_mm=length_mm,
        mass_kg=derivation.work_out(formula, inputs=inputs),
        mass_kg_per_m=mass_per_metre.value,
        stock_bars=math.ceil(length_mm / context.stock_mm - 0.000001),
        stock_length_mm=context.stock_mm,
        method="length of all marks of the size × mass per metre of the standard's table",
        source=mass_per_metre.source,
        formula=formula,
        inputs=inputs,
    )
