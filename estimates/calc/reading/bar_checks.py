"""Checks of a design sheet's bar schedule: marks, sizes, shapes, counts, stirrups in their beams."""

import math
from collections.abc import Iterator
from typing import Final

from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.calc.sheet.steel import BarMark
from estimates.calc.steel import counts, members, shapes
from estimates.calc.steel import rules as steel_rules
from estimates.calc.steel.rules import Rules
from estimates.standards.values import Profile

_MOST_PER_MEMBER: Final = 10_000
_BENT: Final = frozenset({"l", "u", "cranked"})
_LEAST_RUN_DIAMETERS: Final = 8
_STRAIGHTEST: Final = 2


def faults(draft: Draft, *, profile: Profile | None) -> Iterator[Fault]:
    """Finds what is impossible or contradictory in the bars of a sheet.

    Source: derived: the shapes' own geometry and the profile's bar table; no limit of a code is tested here.

    Args:
        draft: the parts of the sheet that could be read.
        profile: the standards profile, None when the sheet names none.

    Returns:
        The faults in the order of the sheet.

    >>> row = {"mark": "S1", "member": "slab", "size_mm": 10, "shape": "l", "dimensions": {"A": 900}}
    >>> bars = {0: BarMark(**row, per_member=4)}
    >>> [fault.path for fault in faults(Draft(bars=bars), profile=None)]
    ['bars[0].dimensions.B']
    """
    rules = None if profile is None else steel_rules.choose(draft.steel_methods, profile=profile)
    yield from _same_marks(draft)
    for index, bar in draft.bars.items():
        path, name = f"bars[{index}]", f"bars[{index}] {bar.mark}"
        yield from unknown_size(bar.size_mm, name=name, path=path, profile=profile)
        yield from _shape(bar, name=name, path=path)
        yield from _count(bar, name=name, path=path, draft=draft, rules=rules)
        yield from _stirrup(bar, name=name, path=path, draft=draft)


def _same_marks(draft: Draft) -> Iterator[Fault]:
    marks = [(f"bars[{index}]", bar.mark) for index, bar in draft.bars.items()]
    marks += [(f"spacing_rules[{index}]", rule.mark) for index, rule in draft.spacing_rules.items()]
    seen: dict[str, str] = {}
    for path, mark in marks:
        first = seen.setdefault(mark, path)
        if first != path:
            message = f"mark {show(mark)} already stands at {first}; give each row its own mark"
            yield Fault(f"{path}.mark", "duplicate_mark", message)


def unknown_size(size_mm: int, *, name: str, path: str, profile: Profile | None) -> Iterator[Fault]:
    """A bar size that the profile's table lacks: without it there is no mass.

    Source: the profile's bar table.

    Args:
        size_mm: nominal diameter [mm].
        name: how the row is called in the message.
        path: the row's place in the sheet.
        profile: the standards profile, None when the sheet names none.

    Returns:
        One fault, or none.

    >>> list(unknown_size(11, name="S1", path="bars[0]", profile=None))
    []
    """
    if profile is not None and size_mm not in profile.bars:
        sizes = ", ".join(str(size) for size in profile.bars)
        message = f"{name}: size_mm {size_mm} is not in the bar table of profile {profile.id}; use {sizes} mm"
        yield Fault(f"{path}.size_mm", "unknown_bar_size", message)


def _shape(bar: BarMark, *, name: str, path: str) -> Iterator[Fault]:
    needed = shapes.NEEDED[bar.shape]
    allowed = needed | shapes.OPTIONAL.get(bar.shape, frozenset())
    for letter in sorted(needed - set(bar.dimensions)):
        message = f"{name}: a {bar.shape} bar needs dimension {letter}; add it in mm"
        yield Fault(f"{path}.dimensions.{letter}", "dimension_missing", message)
    for letter in sorted(set(bar.dimensions) - allowed):
        message = (
            f"{name}: a {bar.shape} bar has no dimension {letter} ({show(bar.dimensions[letter])} mm); "
            f"it has {', '.join(sorted(allowed))}: take it out or correct the shape"
        )
        yield Fault(f"{path}.dimensions.{letter}", "dimension_superfluous", message)
    yield from _foreign_fields(bar, name=name, path=path)
    if not needed - set(bar.dimensions):
        yield from _bendable(bar, name=name, path=path)


def _foreign_fields(bar: BarMark, *, name: str, path: str) -> Iterator[Fault]:
    foreign = []
    if bar.shape != "cranked":
        foreign = [field for field in ("cranks", "crank_angle_deg") if getattr(bar, field) is not None]
    if bar.shape not in _BENT and bar.ends is not None:
        foreign.append("ends")
    for field in foreign:
        message = f"{name}: a {bar.shape} bar has no {field}; take it out or correct the shape"
        yield Fault(f"{path}.{field}", "field_superfluous", message)


def _bendable(bar: BarMark, *, name: str, path: str) -> Iterator[Fault]:
    """Sides so short that the bar cannot be bent, which would make a cutting length of nothing."""
    least = dict.fromkeys(bar.dimensions, float(_STRAIGHTEST * bar.size_mm))
    if bar.shape == "straight":
        return
    if bar.shape == "cranked":
        least.pop("D")
        number, angle = bar.cranks or shapes.USUAL_CRANKS, bar.crank_angle_deg or shapes.USUAL_ANGLE_DEG
        slopes = number * bar.dimensions["D"] / math.tan(math.radians(angle))
        least["B"] = slopes + _LEAST_RUN_DIAMETERS * bar.size_mm
    for letter, bound in least.items():
        if bar.dimensions[letter] <= bound:
            yield Fault(
                f"{path}.dimensions.{letter}",
                "too_short_to_bend",
                f"{name}: dimension {letter} {show(bar.dimensions[letter])} mm must be more than "
                f"{bound:.5g} mm, or a {bar.size_mm} mm bar cannot be bent so; correct it",
            )


def _count(bar: BarMark, *, name: str, path: str, draft: Draft, rules: Rules | None) -> Iterator[Fault]:
    if bar.per_member is None and bar.count_rule is None:
        message = (
            f"{name}: has neither per_member nor count_rule; give the number of bars or the spacing rule"
        )
        yield Fault(f"{path}.per_member", "count_missing", message)
    names = {beam.name for beam in draft.beams.values()}
    in_beam = members.beams_named(bar.member, beams=names)
    cover = draft.beam_cover_mm if in_beam else draft.cover_mm
    if bar.count_rule is None or rules is None or cover is None:
        return
    try:
        counted = counts.by_rule(bar.count_rule, rules=rules, cover_mm=cover, read_in=name)
    except ValueError as error:
        yield Fault(f"{path}.count_rule.length_mm", "no_length_left", str(error))
        return
    if counted.count > _MOST_PER_MEMBER:
        message = (
            f"{name}: its count_rule gives {counted.count} bars, and at most {_MOST_PER_MEMBER} are taken; "
            f"correct spacing_mm {show(bar.count_rule.spacing_mm)} mm or length_mm"
        )
        yield Fault(f"{path}.count_rule.spacing_mm", "too_many_bars", message)


def _stirrup(bar: BarMark, *, name: str, path: str, draft: Draft) -> Iterator[Fault]:
    if bar.shape != "stirrup" or not shapes.NEEDED["stirrup"] <= set(bar.dimensions):
        return
    walls = 2 * bar.size_mm if draft.steel_methods.stirrup == "inside_24d" else 0
    small, large = sorted((bar.dimensions["A"] + walls, bar.dimensions["B"] + walls))
    beams = {beam.name: beam for beam in draft.beams.values()}
    for beam_name in members.beams_named(bar.member, beams=beams):
        beam = beams[beam_name]
        narrow, wide = sorted((beam.width_mm, beam.depth_mm))
        if small > narrow or large > wide:
            yield Fault(
                f"{path}.dimensions",
                "stirrup_larger_than_beam",
                f"{name}: {show(small)} × {show(large)} mm outside does not fit into beam {beam_name} of "
                f"{show(beam.width_mm)} × {show(beam.depth_mm)} mm; correct the stirrup or its member",
            )
