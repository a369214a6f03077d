"""What the bar schedule makes one ask the engineer. A finding never changes a quantity."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from estimates.calc.sheet.answers import Answer
from estimates.standards.values import Value

COUNT_DIFFERS: Final = "steel.count_differs"
MEMBERS_DIFFER: Final = "steel.members_differ"
LONGER_THAN_STOCK: Final = "steel.longer_than_stock"
CUT_BY_OPENING: Final = "steel.cut_by_opening"


@dataclass(frozen=True, slots=True)
class Finding:
    """A stable `code`, the bar mark it concerns, its numbers and the sentence in plain English.

    `answer` is what the engineer decided, with name and date; empty while the question is open.
    """

    code: str
    mark: str
    params: Mapping[str, float | str]
    text: str
    answer: str = ""


def who(answer: Answer) -> str:
    """Who answered, and when.

    Source: the answer.

    Args:
        answer: the answer.

    Returns:
        Name and date, as "N. Orveld, 2026-05-11".
    """
    return f"{answer.engineer}, {answer.dated.isoformat()}"


def answered(finding: Finding, *, answer: Answer) -> Finding:
    """A finding with the engineer's answer beside it.

    Source: the sheet's answer.

    Args:
        finding: the open question.
        answer: the answer to it.

    Returns:
        The finding, its sentence followed by the answer.
    """
    question = finding.text.split("; ")[0]
    text = f"{question}; {who(answer)}, answered: {answer.decision}"
    return replace(finding, text=text, answer=f"{who(answer)}: {answer.decision}")


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
    return Finding(COUNT_DIFFERS, mark, {"schedule": printed, "rule": own}, text)


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
    return Finding(MEMBERS_DIFFER, mark, {"schedule": printed, "named": named}, text)


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
    return Finding(LONGER_THAN_STOCK, mark, params, text)


def joints_do_not_fit(mark: str, *, length_mm: float, stock_mm: float, joints: int, lap_mm: float) -> Finding:
    """The joints that the engineer allowed do not make a bar out of stock bars.

    Source: derived: n + 1 stock bars reach (n + 1) stock - n laps.

    Args:
        mark: the bar mark.
        length_mm: length of the bar [mm].
        stock_mm: length of a stock bar [mm].
        joints: joints in each bar by the answer.
        lap_mm: length of a lap, 0 for a coupler [mm].

    Returns:
        The finding.

    >>> joints_do_not_fit("S9", length_mm=25000, stock_mm=12000, joints=1, lap_mm=600).code
    'steel.joints_do_not_fit'
    """
    reach = (joints + 1) * stock_mm - joints * lap_mm
    params = {"length_mm": length_mm, "stock_mm": stock_mm, "joints": joints, "lap_mm": lap_mm}
    text = (
        f"{mark}: {joints} joints of {lap_mm:g} mm make a bar of at most {reach:g} mm out of stock bars of "
        f"{stock_mm:g} mm, and the bars are {length_mm:g} mm; ask the engineer for more joints"
    )
    return Finding("steel.joints_do_not_fit", mark, params, text)


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
    return Finding(CUT_BY_OPENING, mark, {"opening": opening, "bars": bars}, text)


def beside_opening(mark: str, *, opening: str, bars: int, cover_mm: float) -> Finding:
    """Bars pass an opening's edge closer than their cover.

    Source: derived: plan geometry; the bars are counted whole.

    Args:
        mark: the bar mark.
        opening: name of the opening.
        bars: bars that pass it so.
        cover_mm: their cover [mm].

    Returns:
        The finding.

    >>> beside_opening("S1", opening="duct", bars=1, cover_mm=20).code
    'steel.beside_opening'
    """
    text = (
        f"{mark}: {bars} bars lie closer than {cover_mm:g} mm to the edge of the opening {opening}; "
        "they are counted whole, move them aside when fixing"
    )
    params: dict[str, float | str] = {"opening": opening, "bars": bars, "cover_mm": cover_mm}
    return Finding("steel.beside_opening", mark, params, text)


def region_off_slab(mark: str, *, outside_m2: float) -> Finding:
    """Part of a spacing rule's region lies outside the slab.

    Source: derived: plan geometry; no bar is laid there.

    Args:
        mark: the bar mark.
        outside_m2: area outside [m²].

    Returns:
        The finding.

    >>> region_off_slab("S1", outside_m2=0.25).code
    'steel.region_off_slab'
    """
    text = f"{mark}: {outside_m2:.4g} m² of its region lie outside the slab; no bar is counted there"
    return Finding("steel.region_off_slab", mark, {"outside_m2": outside_m2}, text)


def short_bars(mark: str, *, bars: int, length_mm: float, least: Value) -> Finding:
    """Bars so short that nobody would fix them.

    Source: the profile's `detailing.bar_shortest`.

    Args:
        mark: the bar mark.
        bars: bars shorter than that.
        length_mm: the shortest of them [mm].
        least: the sensible length [mm].

    Returns:
        The finding.
    """
    params: dict[str, float | str] = {"bars": bars, "length_mm": length_mm, "least_mm": least.value}
    text = (
        f"{mark}: {bars} bars are shorter than {least.value:g} mm, the shortest {length_mm:.4g} mm; "
        f"they are counted, check whether the drawing means them ({least.citation})"
    )
    return Finding("steel.short_bars", mark, params, text)


def no_room_for_cranks(mark: str, *, bars: int, room_mm: float) -> Finding:
    """Bars of a rule with alternate bars bent up that are shorter than their cranks.

    Source: derived: a crank of rise D runs D / tan of its angle.

    Args:
        mark: the bar mark.
        bars: bars too short.
        room_mm: what the cranks run along the bar [mm].

    Returns:
        The finding.

    >>> no_room_for_cranks("S1c", bars=2, room_mm=150).code
    'steel.no_room_for_cranks'
    """
    text = (
        f"{mark}: {bars} bars are no longer than the {room_mm:.0f} mm that their cranks run; "
        "they are counted as cranked, ask the engineer"
    )
    return Finding("steel.no_room_for_cranks", mark, {"bars": bars, "room_mm": room_mm}, text)


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
