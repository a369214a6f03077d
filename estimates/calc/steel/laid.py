"""Bars that the drawing gives by spacing, worked out over the slab's plan like a mark of the schedule."""

from collections.abc import Iterator, Sequence
from typing import Final

from estimates.calc import spacing
from estimates.calc.derivation import Input
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.steel import CountRule, SpacingRule
from estimates.calc.spacing import Laid, Piece, Plan
from estimates.calc.steel import counts, findings, marks
from estimates.calc.steel.counts import Counted
from estimates.calc.steel.findings import Finding
from estimates.calc.steel.marks import Context, Mark
from estimates.calc.steel.rules import Rules

_MOST_LENGTHS: Final = 12


def counted(rule: SpacingRule, *, sheet: DesignSheet, rules: Rules) -> Counted:
    """Bars across the region of a spacing rule.

    Source: the counting rule of the sheet or the profile, over the region's extent across the bars.

    Args:
        rule: the spacing rule [mm].
        sheet: outline and cover [mm].
        rules: the named methods.

    Returns:
        The count with its formula.

    Raises:
        ValueError: two covers leave nothing of the extent.

    >>> from importlib.resources import files
    >>> from estimates.calc.reading import reader as sheets
    >>> from estimates.calc.steel import rules as steel_rules
    >>> from estimates.standards import load
    >>> text = files("estimates").joinpath("examples/roof-over-ridge-house.json").read_text(encoding="utf-8")
    >>> roof = sheets.read(text)
    >>> chosen = steel_rules.choose(roof.steel_methods, profile=load.profile("is"))
    >>> bottom = {"mark": "S1", "size_mm": 10, "direction": "x", "spacing_mm": 150, "layer": "bottom"}
    >>> counted(SpacingRule(**bottom), sheet=roof, rules=chosen).count
    54
    """
    region, cover = rule.region or sheet.outline, rule.end_cover_mm or sheet.cover_mm
    over = spacing.extent_mm(region, direction=rule.direction)
    spread = CountRule(length_mm=over, spacing_mm=rule.spacing_mm, end_cover_mm=cover)
    return counts.by_rule(spread, rules=rules, cover_mm=cover, read_in=f"spacing rule, mark {rule.mark}")


def work_out(rule: SpacingRule, *, sheet: DesignSheet, context: Context) -> Mark:
    """Lays bars at a spacing over their region; openings cut them, and no trimmer is added.

    Source: the drawing's spacing; count by the named method; lengths by the plan: see `spacing.lay`.

    Args:
        rule: the spacing rule [mm].
        sheet: outline, openings and cover [mm].
        context: profile and methods.

    Returns:
        The mark, with a piece for every length: lengths [mm], mass [kg].

    Raises:
        ValueError: two covers leave nothing of the region, or the profile's table has no such bar.

    >>> from importlib.resources import files
    >>> from estimates.calc.reading import reader as sheets
    >>> from estimates.calc.steel import schedule
    >>> from estimates.standards import load
    >>> text = files("estimates").joinpath("examples/roof-over-ridge-house.json").read_text(encoding="utf-8")
    >>> roof = sheets.read(text)
    >>> bottom = SpacingRule(mark="S9", size_mm=10, direction="x", spacing_mm=150, layer="bottom")
    >>> context = schedule.context_of(roof, profile=load.profile("is"))
    >>> work_out(bottom, sheet=roof, context=context).pieces[0]
    Piece(length_mm=9160.0, count=44)
    """
    across = counted(rule, sheet=sheet, rules=context.rules)
    cover = rule.end_cover_mm or sheet.cover_mm
    laid = _lay(rule, sheet=sheet, count=across.count, cover_mm=cover)
    read_in = f"spacing rule, mark {rule.mark}"
    source = f"{read_in}, {across.count} bars laid over the plan"
    formula, inputs = _mass(laid.pieces, source=source, mass=context.mass_per_metre(rule.size_mm))
    words = f"straight bars along {rule.direction}, {across.count} across by {across.method}"
    return Mark(
        mark=rule.mark,
        member=f"slab, {rule.layer}",
        size_mm=rule.size_mm,
        shape="straight",
        count=across.count,
        own_count=across.count,
        members=1,
        pieces=laid.pieces,
        mass_kg=marks.worked_out(formula, inputs=inputs),
        method=f"{words}; ends {cover:g} mm inside the concrete",
        source=f"{read_in}; {context.rules.sources['count']}",
        formula=formula,
        inputs=inputs,
        findings=tuple(_findings(rule.mark, laid=laid, across=across.count, stock_mm=context.stock_mm)),
    )


def _lay(rule: SpacingRule, *, sheet: DesignSheet, count: int, cover_mm: float) -> Laid:
    openings = [(opening.name, opening.outline) for opening in sheet.openings]
    plan = Plan(outline=sheet.outline, openings=openings, region=rule.region or sheet.outline)
    return spacing.lay(plan, direction=rule.direction, count=count, end_cover_mm=cover_mm)


def _mass(pieces: Sequence[Piece], *, source: str, mass: Input) -> tuple[str, dict[str, Input]]:
    """Lengths × mass per metre; without pieces, or with over a dozen, their length is one number."""
    inputs: dict[str, Input] = {}
    if 0 < len(pieces) <= _MOST_LENGTHS:
        for number, piece in enumerate(pieces, start=1):
            inputs[f"count_{number}"] = Input(piece.count, "no.", source)
            inputs[f"length_{number}"] = Input(piece.length_mm, "mm", source)
        terms = (f"count_{number} * length_{number}" for number in range(1, len(pieces) + 1))
        length = f"({' + '.join(terms)})"
    else:
        total = sum(piece.length_mm * piece.count for piece in pieces)
        length, inputs["length"] = "length", Input(total, "mm", f"{source}: the sum of {len(pieces)} lengths")
    return f"{length} / 1000 * mass_per_metre", inputs | {"mass_per_metre": mass}


def _findings(mark: str, *, laid: Laid, across: int, stock_mm: float) -> Iterator[Finding]:
    if not laid.pieces:
        yield findings.no_room(mark, bars=across)
    for name, number in laid.cut_by.items():
        yield findings.cut_by_opening(mark, opening=name, bars=number)
    for piece in laid.pieces:
        if piece.length_mm > stock_mm:
            yield findings.longer_than_stock(
                mark, length_mm=piece.length_mm, stock_mm=stock_mm, bars=piece.count
            )
