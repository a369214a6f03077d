"""Checks of a design sheet's bar schedule: marks, sizes, shapes, counts, stirrups in their beams."""

from collections.abc import Iterator
from typing import Final

from estimates.calc.reading import shape_checks
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.calc.sheet.steel import BarMark
from estimates.calc.steel import counts, members
from estimates.calc.steel import rules as steel_rules
from estimates.calc.steel.rules import Rules
from estimates.standards.values import Profile

_MOST_PER_MEMBER: Final = 10_000


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
        yield from shape_checks.faults(bar, name=name, path=path, rules=rules)
        yield from _bundle(bar, name=name, path=path)
        yield from _count(bar, name=name, path=path, draft=draft, rules=rules)
        yield from _stirrup(bar, name=name, path=path, draft=draft)


def _same_marks(draft: Draft) -> Iterator[Fault]:
    marks = [(f"bars[{index}]", bar.mark) for index, bar in draft.bars.items()]
    for index, rule in draft.spacing_rules.items():
        paths = (f"spacing_rules[{index}]", f"spacing_rules[{index}].every_second")
        marks += zip(paths, rule.marks, strict=False)
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


def _bundle(bar: BarMark, *, name: str, path: str) -> Iterator[Fault]:
    """A spacing counts bundles, so the bars of a bundle need their own number."""
    if bar.bundle is not None and bar.per_member is None and bar.count_rule is not None:
        message = (
            f"{name}: its spacing counts bundles of {bar.bundle} bars; add per_member, the number of bars"
        )
        yield Fault(f"{path}.per_member", "count_missing", message)


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
    if bar.shape != "stirrup" or not {"A", "B"} <= set(bar.dimensions):
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
