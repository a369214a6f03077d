"""Bars that the drawing gives by spacing, worked out over the slab's plan like a mark of the schedule."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from estimates.calc import derivation, spacing
from estimates.calc.derivation import Input
from estimates.calc.sheet import outline as outlines
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.steel import CountRule, SpacingRule
from estimates.calc.spacing import Course, Direction, Laid, Piece, Plan
from estimates.calc.steel import counts, findings
from estimates.calc.steel.counts import Counted
from estimates.calc.steel.findings import Finding
from estimates.calc.steel.marks import Context, Mark
from estimates.calc.steel.rules import Rules

_MOST_LENGTHS: Final = 12
_STEPPED: Final = frozenset({"at_cover", "half_spacing"})
DIRECTIONS: Final[Mapping[str, tuple[Direction, ...]]] = {"x": ("x",), "y": ("y",), "both": ("x", "y")}
"""The axes that the bars of a rule run along."""


def counted(rule: SpacingRule, *, sheet: DesignSheet, rules: Rules, direction: Direction) -> Counted:
    """Bars across the region of a spacing rule.

    Source: the counting rule of the sheet or the profile, over the region's extent across the bars.

    Args:
        rule: the spacing rule [mm].
        sheet: outline and cover [mm].
        rules: the named methods.
        direction: axis of the bars, one of those of the rule.

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
    >>> counted(SpacingRule(**bottom), sheet=roof, rules=chosen, direction="x").count
    54
    """
    region, cover = rule.region or sheet.outline, rule.end_cover_mm or sheet.cover_mm
    over = spacing.extent_mm(region, direction=direction, angle_deg=rule.angle_deg or 0)
    spread = CountRule(length_mm=over, spacing_mm=rule.spacing_mm, end_cover_mm=cover)
    return counts.by_rule(spread, rules=rules, cover_mm=cover, read_in=f"spacing rule, mark {rule.mark}")


@dataclass(frozen=True, slots=True)
class Lines:
    """Bars of a rule in one direction, and what the counting rule gives beside them."""

    laid: Laid
    own: Counted

    @property
    def across(self) -> int:
        """Lines of bars across the region; where none fits, those that the spacing gives."""
        return self.laid.lines or self.own.count


def lay(rule: SpacingRule, *, sheet: DesignSheet, rules: Rules) -> tuple[Lines, ...]:
    """Lays the bars of a spacing rule over the slab's plan.

    Source: the drawing's number where it prints one; else, spread evenly, the counting rule's; else the first
    bar's place and the spacing.

    Args:
        rule: the spacing rule [mm].
        sheet: outline, openings and cover [mm].
        rules: the named methods.

    Returns:
        What lies in the region, for each direction of the bars.

    Raises:
        ValueError: two covers leave nothing of the region.
    """
    openings = [(opening.name, opening.corners) for opening in sheet.openings]
    piece = outlines.holding(rule.region, pieces=sheet.outlines)
    plan = Plan(outline=piece, openings=openings, region=rule.region or piece)
    stepped = rule.number is None and rule.first_bar in _STEPPED
    found = []
    for direction in DIRECTIONS[rule.direction]:
        own = counted(rule, sheet=sheet, rules=rules, direction=direction)
        course = Course(
            direction=direction,
            end_cover_mm=rule.end_cover_mm or sheet.cover_mm,
            angle_deg=rule.angle_deg or 0,
            count=0 if stepped else rule.number or own.count,
            step_mm=rule.spacing_mm,
            first_mm=rule.spacing_mm / 2 if rule.first_bar == "half_spacing" else 0,
            shorter_mm=rule.shorter_mm or 0,
        )
        found.append(Lines(spacing.lay(plan, course), own))
    return tuple(found)


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
        ValueError: two covers leave nothing of the region, or the table has no such bar.

    >>> from importlib.resources import files
    >>> from estimates.calc.reading import reader as sheets
    >>> from estimates.calc.steel import schedule
    >>> from estimates.standards import load
    >>> example = files("estimates").joinpath("examples/roof-over-ridge-house.json")
    >>> roof = sheets.read(example.read_text(encoding="utf-8"))
    >>> bottom = SpacingRule(mark="S9", size_mm=10, direction="x", spacing_mm=150, layer="bottom")
    >>> context = schedule.context_of(roof, profile=load.profile("is"))
    >>> work_out(bottom, sheet=roof, context=context).pieces[0]
    Piece(length_mm=9160.0, count=44)
    """
    lines = lay(rule, sheet=sheet, rules=context.rules)
    pieces, across = _together([one.laid for one in lines]), sum(one.across for one in lines)
    read_in = f"spacing rule, mark {rule.mark}"
    formula, inputs = _mass(pieces, read_in=read_in, across=across, mass=context.mass_per_metre(rule.size_mm))
    asked = [*_places(rule, lines=lines, sheet=sheet), *_lengths(rule.mark, pieces=pieces, context=context)]
    return Mark(
        mark=rule.mark,
        member=f"slab, {rule.layer}",
        size_mm=rule.size_mm,
        shape="straight",
        count=across,
        own_count=sum(one.own.count for one in lines),
        members=1,
        pieces=pieces,
        mass_kg=derivation.work_out(formula, inputs=inputs),
        method=_words(rule, across=across, by=lines[0].own.method, sheet=sheet),
        source=f"{read_in}; {context.rules.sources['count']}",
        formula=formula,
        inputs=inputs,
        remark=rule.remark,
        findings=tuple(asked),
    )


def _words(rule: SpacingRule, *, across: int, by: str, sheet: DesignSheet) -> str:
    along = "x and y" if rule.direction == "both" else rule.direction
    turned = f", turned by {rule.angle_deg:g}°" if rule.angle_deg else ""
    how = {
        "at_cover": "at the spacing, the first at the cover",
        "half_spacing": "at the spacing, the first half a space in",
    }.get(rule.first_bar or "", f"by {by}")
    if rule.number is not None:
        how = "as the drawing prints it"
    shorter = f", every second one {rule.shorter_mm:g} mm shorter at each end" if rule.shorter_mm else ""
    ends = f"ends {rule.end_cover_mm or sheet.cover_mm:g} mm inside the concrete"
    return f"straight bars along {along}{turned}, {across} across {how}{shorter}; {ends}"


def _together(laid: Sequence[Laid]) -> tuple[Piece, ...]:
    if len(laid) == 1:
        return laid[0].pieces
    found: dict[float, int] = {}
    for one in laid:
        for piece in one.pieces:
            found[piece.length_mm] = found.get(piece.length_mm, 0) + piece.count
    return tuple(Piece(length, found[length]) for length in sorted(found, reverse=True))


def _mass(pieces: Sequence[Piece], *, read_in: str, across: int, mass: Input) -> tuple[str, dict[str, Input]]:
    """Lengths × mass per metre; without pieces, or with over a dozen, their length is one number."""
    inputs: dict[str, Input] = {}
    source = f"{read_in}, {across} bars laid over the plan"
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


def _places(rule: SpacingRule, *, lines: Sequence[Lines], sheet: DesignSheet) -> Iterator[Finding]:
    """What the plan makes one ask: no room, another number, openings, a region that leaves the slab."""
    mark = rule.mark
    if not any(one.laid.pieces for one in lines):
        yield findings.no_room(mark, bars=sum(one.across for one in lines))
    for one in lines:
        if rule.number is not None and one.own.count != rule.number:
            yield findings.count_differs(mark, printed=rule.number, own=one.own.count)
        for name, number in one.laid.cut_by.items():
            yield findings.cut_by_opening(mark, opening=name, bars=number)
        cover_mm = one.laid.course.end_cover_mm
        for name, number in one.laid.beside.items():
            yield findings.beside_opening(mark, opening=name, bars=number, cover_mm=cover_mm)
    if rule.region is not None:
        outside = outlines.area_outside_mm2(
            rule.region, outer=outlines.holding(rule.region, pieces=sheet.outlines)
        )
        if outside:
            yield findings.region_off_slab(mark, outside_m2=outside / 1e6)


def _lengths(mark: str, *, pieces: Sequence[Piece], context: Context) -> Iterator[Finding]:
    """Bars longer than stock, and bars too short to be meant."""
    stock_mm = context.stock_mm
    for piece in pieces:
        if piece.length_mm > stock_mm:
            yield findings.longer_than_stock(
                mark, length_mm=piece.length_mm, stock_mm=stock_mm, bars=piece.count
            )
    least = context.profile.value("detailing.bar_shortest")
    short = [piece for piece in pieces if piece.length_mm < least.value]
    if short:
        number = sum(piece.count for piece in short)
        yield findings.short_bars(mark, bars=number, length_mm=short[-1].length_mm, least=least)
