"""Checks of a design sheet's chairs: their size, their place, and what their shape is worked out from."""

from collections.abc import Iterator
from typing import Final

from estimates.calc.reading import bar_checks
from estimates.calc.sheet import outline as outlines
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.calc.sheet.supports import Chairs, CoverBlocks
from estimates.calc.steel import chairs as steel_chairs
from estimates.standards.values import Profile

_LEAST_HEIGHT_SIZES: Final = 2
_WHY: Final = {
    "height_mm": "bars at a spacing in top and bottom",
    "head_mm": "top bars at a spacing",
    "foot_mm": "bottom bars at a spacing",
}


def faults(draft: Draft, *, profile: Profile | None) -> Iterator[Fault]:
    """Finds what is impossible or missing in the chairs of a sheet.

    Source: derived: plane geometry, the bar table, and the layers that the sheet gives at a spacing.

    Args:
        draft: the parts of the sheet that could be read.
        profile: the standards profile, None when the sheet names none.

    Returns:
        The faults in the order of the sheet.

    >>> list(faults(Draft(), profile=None))
    []
    """
    if draft.supports is None:
        return
    yield from _blocks(draft.supports.cover_blocks)
    seen = _marks(draft)
    for index, chairs in enumerate(draft.supports.chairs):
        path = f"supports.chairs[{index}]"
        name = f"{path} {chairs.mark}"
        yield from bar_checks.unknown_size(chairs.size_mm, name=name, path=path, profile=profile)
        if chairs.mark in seen:
            message = f"mark {show(chairs.mark)} already stands in the sheet; give the chairs their own mark"
            yield Fault(f"{path}.mark", "duplicate_mark", message)
        seen.add(chairs.mark)
        if chairs.per_m2 is not None and chairs.number is not None:
            message = f"{name}: has per_m2 and number; keep one of them"
            yield Fault(f"{path}.per_m2", "field_superfluous", message)
        yield from _region(chairs, name=name, path=path, draft=draft)
        yield from _shape(chairs, name=name, path=path, draft=draft)


def _blocks(blocks: CoverBlocks | None) -> Iterator[Fault]:
    if blocks is None:
        return
    path = "supports.cover_blocks"
    if blocks.by == "stated" and blocks.per_m2 is None:
        message = "cover blocks as stated need per_m2, how many to the square metre; add it"
        yield Fault(f"{path}.per_m2", "missing", message)
    if blocks.by == "practice":
        for field in ("per_m2", "beam_spacing_mm"):
            if getattr(blocks, field) is not None:
                message = f"cover blocks by practice have no {field}; take it out, or write by as stated"
                yield Fault(f"{path}.{field}", "field_superfluous", message)


def _marks(draft: Draft) -> set[str]:
    return draft.marks | {mark for answer in draft.answers.values() for mark in answer.marks}


def _region(chairs: Chairs, *, name: str, path: str, draft: Draft) -> Iterator[Fault]:
    if chairs.region is None:
        return
    shape = outlines.faults_of(chairs.region)
    for code, sentence in shape:
        yield Fault(f"{path}.region", code, f"{name}: its region {sentence}")
    if shape or draft.outline is None or outlines.faults_of(draft.outline):
        return
    if not outlines.area_shared_mm2(chairs.region, other=draft.outline):
        message = f"{name}: its region lies outside the slab's outline; move it onto the slab"
        yield Fault(f"{path}.region", "region_off_slab", message)


def _shape(chairs: Chairs, *, name: str, path: str, draft: Draft) -> Iterator[Fault]:
    """Every side is stated, or follows from layers at a spacing; the height is enough to be bent."""
    between = steel_chairs.layers(list(draft.spacing_rules.values()))
    known = {
        "height_mm": bool(between.top and between.bottom),
        "head_mm": bool(between.top),
        "foot_mm": bool(between.bottom),
    }
    for field, follows in known.items():
        if getattr(chairs, field) is None and not follows:
            message = f"{name}: without {_WHY[field]} its {field} is not known; add it in mm"
            yield Fault(f"{path}.{field}", "missing", message)
    height = chairs.height_mm
    if (
        height is None
        and known["height_mm"]
        and draft.thickness_mm is not None
        and draft.cover_mm is not None
    ):
        height = steel_chairs.height(between, thickness_mm=draft.thickness_mm, cover_mm=draft.cover_mm).value
    if height is not None and height <= _LEAST_HEIGHT_SIZES * chairs.size_mm:
        message = (
            f"{name}: a height of {show(height)} mm leaves no room for a chair of {chairs.size_mm} mm bars; "
            "correct thickness, cover or layers, or leave the chairs out"
        )
        yield Fault(f"{path}.height_mm", "too_short_to_bend", message)
