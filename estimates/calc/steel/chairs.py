"""Chairs: how many, how high, how long; their steel goes into the schedule like any mark."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from estimates.calc import derivation
from estimates.calc.derivation import Input, cited
from estimates.calc.sheet import outline as outlines
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.steel import BarMark, SpacingRule
from estimates.calc.sheet.supports import Chairs
from estimates.calc.sheet.types import Dimension
from estimates.calc.steel import laid, marks
from estimates.calc.steel.counts import Counted
from estimates.calc.steel.marks import Context, Mark
from estimates.standards.values import Profile

_LETTERS: Final[Mapping[Dimension, str]] = {"A": "head_mm", "B": "height_mm", "C": "foot_mm"}


@dataclass(frozen=True, slots=True)
class Layers:
    """The slab's bars at a spacing that chairs stand on and carry: sizes and largest spacings [mm].

    A bottom or top without such bars has no sizes.
    """

    bottom: tuple[int, ...]
    top: tuple[int, ...]
    bottom_spacing_mm: float
    top_spacing_mm: float


def layers(rules: Sequence[SpacingRule]) -> Layers:
    """What lies below and above the chairs.

    Source: the sheet's spacing rules: the largest size of each direction and face.

    Args:
        rules: the spacing rules of the sheet [mm].

    Returns:
        The layers.

    >>> layers([]).top
    ()
    """
    bottom = [rule for rule in rules if rule.layer == "bottom"]
    top = [rule for rule in rules if rule.layer == "top"]
    return Layers(
        bottom=_sizes(bottom),
        top=_sizes(top),
        bottom_spacing_mm=max((rule.spacing_mm for rule in bottom), default=0.0),
        top_spacing_mm=max((rule.spacing_mm for rule in top), default=0.0),
    )


def dimensions(chairs: Chairs, *, sheet: DesignSheet, profile: Profile) -> dict[Dimension, Input]:
    """Head, height and foot of a chair.

    Source: the sheet where it states them; else common practice: height by `height`, head and foot over two
    spaces of the bars that they carry and stand on.

    Args:
        chairs: the chairs.
        sheet: thickness, cover and layers.
        profile: the standards profile.

    Returns:
        A, B, C as far as they are known [mm].
    """
    found: dict[Dimension, Input] = {}
    for letter, name in _LETTERS.items():
        given = getattr(chairs, name)
        if given is not None:
            found[letter] = Input(float(given), "mm", f"design sheet, chairs {chairs.mark}")
    between = layers(sheet.spacing_rules)
    if "B" not in found and between.top and between.bottom:
        found["B"] = height(between, thickness_mm=sheet.thickness_mm, cover_mm=sheet.cover_mm)
    spaces: tuple[tuple[Dimension, str, float], ...] = (
        ("A", "head", between.top_spacing_mm),
        ("C", "foot", between.bottom_spacing_mm),
    )
    for letter, name, space in spaces:
        if letter not in found and space:
            found[letter] = _over(space, name=name, profile=profile)
    return found


def height(between: Layers, *, thickness_mm: float, cover_mm: float) -> Input:
    """Height of a chair over all, by its layers.

    Source: common practice, as study pages on chairs print it: thickness less both covers, the bottom main
    bar, and the main and distribution bars of the top.

    Args:
        between: the layers, each with bars.
        thickness_mm: thickness of the slab [mm].
        cover_mm: cover of both faces [mm].

    Returns:
        The height [mm].

    >>> height(Layers((12,), (16, 12), 150, 150), thickness_mm=550, cover_mm=25).value
    460.0
    """
    found = thickness_mm - 2 * cover_mm - max(between.bottom) - sum(between.top)
    carried = " + ".join(str(size) for size in between.top)
    source = (
        f"{thickness_mm:g} - 2 × {cover_mm:g} - {max(between.bottom)} - ({carried}): thickness, covers, "
        "largest bottom bar, layers of the top"
    )
    return Input(float(found), "mm", source)


def work_out(chairs: Chairs, *, sheet: DesignSheet, context: Context) -> Mark:
    """Chairs as a mark of the schedule.

    Source: number by area and rate, or as the drawing prints it; length by the shape `chair`.

    Args:
        chairs: the chairs.
        sheet: thickness, cover, layers, outline and openings.
        context: profile and methods.

    Returns:
        The mark: lengths [mm], mass [kg].

    Raises:
        ValueError: head, height or foot are neither stated nor known from the layers.
    """
    known = dimensions(chairs, sheet=sheet, profile=context.profile)
    bar = BarMark(
        mark=chairs.mark,
        member="chairs",
        size_mm=chairs.size_mm,
        shape="chair",
        dimensions={letter: known[letter].value for letter in sorted(known)},
    )
    counted = _counted(chairs, sheet=sheet, profile=context.profile)
    mark = marks.work_out(bar, context=context, counted=counted)
    return replace(mark, inputs=dict(mark.inputs) | {letter: known[letter] for letter in known})


def area_m2(chairs: Chairs, *, sheet: DesignSheet) -> float:
    """The area that chairs stand in.

    Source: derived: the region, or the slab, without the openings.

    Args:
        chairs: the chairs.
        sheet: outline and openings [mm].

    Returns:
        The area [m²].
    """
    region = chairs.region or sheet.outline
    area = outlines.area_shared_mm2(region, other=sheet.outline)
    holes = sum(outlines.area_shared_mm2(opening.corners, other=region) for opening in sheet.openings)
    return (area - holes) / 1e6


def _counted(chairs: Chairs, *, sheet: DesignSheet, profile: Profile) -> Counted:
    stated = f"design sheet, chairs {chairs.mark}"
    if chairs.number is not None:
        given = {"count": Input(chairs.number, "no.", stated)}
        return Counted(chairs.number, "count", given, "as the drawing prints it")
    rate = cited(profile.value("supports.chair.per_m2"))
    if chairs.per_m2 is not None:
        rate = Input(chairs.per_m2, "1/m²", stated)
    region = "region without openings" if chairs.region else "slab without openings"
    inputs = {"area": Input(area_m2(chairs, sheet=sheet), "m²", region), "per_m2": rate}
    formula = "max(ceil(area * per_m2 - 0.000001), 1)"
    return Counted(int(derivation.work_out(formula, inputs=inputs)), formula, inputs, "by area and rate")


def _over(space: float, *, name: str, profile: Profile) -> Input:
    spaces, more = (profile.value(f"supports.chair.{name}_{part}") for part in ("spaces", "more"))
    source = f"{spaces.value:g} × {space:g} + {more.value:g}: {spaces.citation}"
    return Input(spaces.value * space + more.value, "mm", source)


def _sizes(rules: Sequence[SpacingRule]) -> tuple[int, ...]:
    """The largest size along each axis."""
    found: dict[str, int] = {}
    for rule in rules:
        for direction in laid.DIRECTIONS[rule.direction]:
            found[direction] = max(found.get(direction, 0), rule.size_mm)
    return tuple(found[direction] for direction in sorted(found))
