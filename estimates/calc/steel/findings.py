"""What the bar schedule makes one ask the engineer. A finding never changes a quantity."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Finding:
    """A stable `code`, the bar mark it concerns, its numbers and the sentence in plain English."""

    code: str
    mark: str
    params: Mapping[str, float | str]
    text: str


def count_differs(mark: str, *, printed: int, own: int) -> Finding:
    """The schedule's count and that of the spacing differ.

    Source: derived: comparison; the schedule's number stands.

    Args:
        mark: the bar mark.
        printed: bars in one member by the schedule.
        own: bars in one member by the counting rule.

    Returns:
        The finding.

    >>> count_differs("S1", printed=60, own=62).code
    'steel.count_differs'
    """
    text = (
        f"{mark}: the schedule prints {printed} per member, its spacing gives {own}; "
        "the schedule's number stands until the engineer answers"
    )
    return Finding("steel.count_differs", mark, {"schedule": printed, "rule": own}, text)


def members_differ(mark: str, *, printed: int, member: str, named: int) -> Finding:
    """The schedule multiplies by another number than that of the members it names.

    Source: derived: comparison; the schedule's number stands.

    Args:
        mark: the bar mark.
        printed: members by the schedule.
        member: the schedule's words.
        named: members in these words.

    Returns:
        The finding.

    >>> members_differ("S1", printed=2, member="slab", named=1).code
    'steel.members_differ'
    """
    text = (
        f"{mark}: the schedule multiplies by {printed} members, its text ({member}) names {named}; "
        "the schedule's number stands until the engineer answers"
    )
    return Finding("steel.members_differ", mark, {"schedule": printed, "named": named}, text)


def longer_than_stock(mark: str, *, length_mm: float, stock_mm: float, bars: int) -> Finding:
    """Bars are longer than mills deliver.

    Source: derived: comparison with `steel.stock_length`; nothing is lapped.

    Args:
        mark: the bar mark.
        length_mm: cutting length [mm].
        stock_mm: length of a stock bar [mm].
        bars: bars of this length.

    Returns:
        The finding.

    >>> longer_than_stock("S9", length_mm=13000, stock_mm=12000, bars=4).code
    'steel.longer_than_stock'
    """
    params = {"length_mm": length_mm, "stock_mm": stock_mm, "bars": bars}
    text = (
        f"{mark}: {bars} bars of {length_mm:g} mm are longer than a stock bar of {stock_mm:g} mm; "
        "no lap is counted until the engineer says where"
    )
    return Finding("steel.longer_than_stock", mark, params, text)


def cut_by_opening(mark: str, *, opening: str, bars: int) -> Finding:
    """An opening cuts bars.

    Source: derived: plan geometry; no trimmer enters a quantity.

    Args:
        mark: the bar mark.
        opening: name of the opening.
        bars: bars that it cuts.

    Returns:
        The finding.

    >>> cut_by_opening("S1", opening="stair", bars=6).code
    'steel.cut_by_opening'
    """
    text = (
        f"{mark}: {bars} bars are cut by the opening {opening}; no trimmers are given, and none are counted"
    )
    return Finding("steel.cut_by_opening", mark, {"opening": opening, "bars": bars}, text)


def no_room(mark: str, *, bars: int) -> Finding:
    """No bar of a spacing rule fits between the covers of its region.

    Source: derived: plan geometry.

    Args:
        mark: the bar mark.
        bars: bars that the spacing gives across the region.

    Returns:
        The finding.

    >>> no_room("S1", bars=1).code
    'steel.no_room'
    """
    text = (
        f"{mark}: the spacing gives {bars} bars, but none fits between the covers; check region and direction"
    )
    return Finding("steel.no_room", mark, {"bars": bars}, text)
