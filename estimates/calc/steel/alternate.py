"""Bars at a spacing of which every second one is cranked: two marks of one rule."""

import math
from collections.abc import Iterator, Sequence

from estimates.calc import derivation
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.steel import BarMark, Cranked, SpacingRule
from estimates.calc.spacing import Piece
from estimates.calc.steel import findings, laid, shapes
from estimates.calc.steel.findings import Finding
from estimates.calc.steel.marks import Context, Mark
from estimates.calc.steel.shapes import USUAL_ANGLE_DEG, USUAL_CRANKS


def marks(rule: SpacingRule, *, sheet: DesignSheet, context: Context) -> tuple[Mark, ...]:
    """The marks of a spacing rule: its straight bars, and the cranked ones between them.

    Source: the drawing's spacing and its word that alternate bars are bent up; bars as `laid` lays them.

    Args:
        rule: the spacing rule [mm].
        sheet: outline, openings and cover [mm].
        context: profile and methods.

    Returns:
        One mark, or two.

    Raises:
        ValueError: two covers leave nothing of the region, or the table has no such bar.

    >>> from importlib.resources import files
    >>> from estimates.calc.reading import reader as sheets
    >>> from estimates.calc.steel import schedule
    >>> from estimates.standards import load
    >>> example = files("estimates").joinpath("examples/roof-over-ridge-house.json")
    >>> roof = sheets.read(example.read_text(encoding="utf-8"))
    >>> bottom = SpacingRule(mark="S9", size_mm=10, direction="x", spacing_mm=150, layer="bottom",
    ...     every_second=Cranked(mark="S9c", rise_mm=75))
    >>> context = schedule.context_of(roof, profile=load.profile("is"))
    >>> [(mark.mark, mark.shape, mark.count) for mark in marks(bottom, sheet=roof, context=context)]
    [('S9', 'straight', 27), ('S9c', 'cranked', 27)]
    """
    straight = laid.work_out(rule, sheet=sheet, context=context)
    if rule.every_second is None:
        return (straight,)
    return straight, _cranked(rule, rule.every_second, sheet=sheet, context=context)


def _cranked(rule: SpacingRule, turn: Cranked, *, sheet: DesignSheet, context: Context) -> Mark:
    lines = laid.lay(rule, sheet=sheet, rules=context.rules)
    runs = laid.together([one.laid.second for one in lines])
    cut = [shapes.cutting_length(_bar(rule, turn, run=run.length_mm), rules=context.rules) for run in runs]
    pieces = laid.together(
        [tuple(Piece(one.length_mm, run.count) for one, run in zip(cut, runs, strict=True)), ()]
    )
    across = sum(one.across - one.straight(one.across) for one in lines)
    read_in = f"spacing rule, mark {turn.mark}"
    formula, inputs = laid.mass(
        pieces, read_in=read_in, across=across, per_m=context.mass_per_metre(rule.size_mm)
    )
    rise = {"D": turn.rise_mm}
    way = cut[0].method if cut else "cranked bar"
    return Mark(
        mark=turn.mark,
        member=f"slab, {rule.layer}",
        size_mm=rule.size_mm,
        shape="cranked",
        count=across,
        own_count=sum(one.own.count - one.straight(one.own.count) for one in lines),
        members=1,
        pieces=pieces,
        mass_kg=derivation.work_out(formula, inputs=inputs),
        method=f"{way}, D = {turn.rise_mm:g} mm; every second bar of {rule.mark}, {across} across",
        source="; ".join(dict.fromkeys((read_in, *(one.source for one in cut[:1])))),
        formula=formula,
        inputs=inputs,
        dimensions=({"B": runs[0].length_mm} if len(runs) == 1 else {}) | rise,
        remark=rule.remark,
        findings=tuple(_asked(turn, runs=runs, pieces=pieces, context=context)),
    )


def _bar(rule: SpacingRule, turn: Cranked, *, run: float) -> BarMark:
    return BarMark(
        mark=turn.mark,
        member="slab",
        size_mm=rule.size_mm,
        shape="cranked",
        dimensions={"B": run, "D": turn.rise_mm},
        cranks=turn.cranks,
        crank_angle_deg=turn.angle_deg,
    )


def _asked(
    turn: Cranked, *, runs: Sequence[Piece], pieces: Sequence[Piece], context: Context
) -> Iterator[Finding]:
    """Bars without room for their cranks, longer than stock, or too short to be meant."""
    slope = math.tan(math.radians(turn.angle_deg or USUAL_ANGLE_DEG))
    room_mm = (turn.cranks or USUAL_CRANKS) * turn.rise_mm / slope
    short = [run for run in runs if run.length_mm <= room_mm]
    if short:
        number = sum(run.count for run in short)
        yield findings.no_room_for_cranks(turn.mark, bars=number, room_mm=room_mm)
    yield from laid.lengths(turn.mark, pieces=pieces, context=context)
