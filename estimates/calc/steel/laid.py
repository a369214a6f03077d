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

    def straight(self, number: int) -> int:
        """How many of so many lines are straight: all, or every other one beginning with the first."""
        return number - number // 2 if self.laid.course.parted else number


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
            parted=rule.every_second is not None,
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
    pieces = together([_straight(one.laid) for one in lines])
    across = sum(one.straight(one.across) for one in lines)
    read_in = f"spacing rule, mark {rule.mark}"
    formula, inputs = mass(pieces, read_in=read_in, across=across, per_m=context.mass_per_metre(rule.size_mm))
    asked = [*_places(rule, lines=lines, sheet=sheet), *lengths(rule.mark, pieces=pieces, context=context)]
    return Mark(
        mark=rule.mark,
        member=f"slab, {rule.layer}",
        size_mm=rule.size_mm,
        shape="straight",
        count=across,
        own_count=sum(one.straight(one.own.count) for one in lines),
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
    if rule.every_second is not None:
        how = f"{how}, every second one cranked as {rule.every_second.mark} and not counted here"
    shorter = f", every second one {rule.shorter_mm:g} mm shorter at each end" if rule.shorter_mm else ""
    ends = f"ends {rule.end_cover_mm or sheet.cover_mm:g} mm inside the concrete"
    return f"straight bars along {along}{turned}, {across} across {how}{shorter}; {ends}"


def _straight(laid: Laid) -> tuple[Piece, ...]:
    """The pieces that stay straight: all but those of every second line where these are cranked."""
    if not laid.second:
        return laid.pieces
    cranked = {piece.length_mm: piece.count for piece in laid.second}
    rest = (Piece(one.length_mm, one.count - cranked.get(one.length_mm, 0)) for one in laid.pieces)
    return tuple(piece for piece in rest if piece.count)


def together(parts: Sequence[tuple[Piece, ...]]) -> tuple[Piece, ...]:
    """Pieces of several directions as one list, longest first.

    Source: derived: counts of equal lengths added.

    Args:
        parts: pieces of each direction [mm].

    Returns:
        The pieces.

    >>> together([(Piece(3960, 4),), (Piece(5960, 3), Piece(3960, 1))])
    (Piece(length_mm=5960, count=3), Piece(length_mm=3960, count=5))
    """
    if len(parts) == 1:
        return parts[0]
    found: dict[float, int] = {}
    for pieces in parts:
        for piece in pieces:
            found[piece.length_mm] = found.get(piece.length_mm, 0) + piece.count
    return tuple(Piece(length, found[length]) for length in sorted(found, reverse=True))


def mass(pieces: Sequence[Piece], *, read_in: str, across: int, per_m: Input) -> tuple[str, dict[str, Input]]:
    """The mass of pieces as a formula; without pieces, or with over a dozen, their length is one number.

    Source: derived: lengths × mass per metre of the standard's table.

    Args:
        pieces: the bars by length [mm].
        read_in: where the sheet says so.
        across: lines of bars.
        per_m: mass of a metre [kg/m].

    Returns:
        Formula and inputs, for a mass in kg.
    """
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
    return f"{length} / 1000 * mass_per_metre", inputs | {"mass_per_metre": per_m}


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


def lengths(mark: str, *, pieces: Sequence[Piece], context: Context) -> Iterator[Finding]:
    """Bars longer than stock, and bars too short to be meant.

    Source: derived: comparison with the profile's `steel.stock_length` and `detailing.bar_shortest`.

    Args:
        mark: the bar mark.
        pieces: its bars by length [mm].
        context: profile and methods.

    Yields:
        The findings.
    """
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
