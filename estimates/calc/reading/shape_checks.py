"""Checks of a bar's shape: its letters, its other fields, and whether it can be bent at all."""

import math
from collections.abc import Iterator, Mapping
from typing import Final

from estimates.calc.sheet.faults import Fault, show
from estimates.calc.sheet.steel import BarMark
from estimates.calc.steel import shapes
from estimates.calc.steel.rules import Rules
from estimates.standards import catalogues
from estimates.standards.catalogues import Catalogue, Shape

_BENT: Final = frozenset({"l", "u", "cranked", "bend_one", "bend_both"})
_LEAST_RUN_DIAMETERS: Final = 8
_STRAIGHTEST: Final = 2


def faults(bar: BarMark, *, name: str, path: str, rules: Rules | None) -> Iterator[Fault]:
    """What makes a bar's shape impossible to work out or to bend.

    Source: derived: the letters of the shape's catalogue; no limit of a code is tested here: a leg shorter
    than the catalogue's least is a finding of the casting checks.

    Args:
        bar: the row of the bar schedule.
        name: how the row is called in the messages.
        path: the row's place in the sheet.
        rules: the named methods, None when the sheet names no profile: then any catalogue is good.

    Returns:
        The faults.

    >>> row = {"mark": "S1", "member": "slab", "size_mm": 10, "shape": "51", "dimensions": {"A": 900}}
    >>> [fault.code for fault in faults(BarMark(**row), name="S1", path="bars[0]", rules=None)]
    ['dimension_missing']
    """
    catalogue = _home(bar.shape) if rules is None else rules.catalogue_of(bar.shape)
    if catalogue is None:
        yield _foreign(bar, name=name, path=path, rules=rules)
        return
    shape = catalogue.shapes[bar.shape]
    wrong = list(_letters(bar, shape=shape, name=name, path=path))
    yield from wrong
    yield from _foreign_fields(bar, name=name, path=path)
    if not any(fault.code == "dimension_missing" for fault in wrong):
        yield from _bendable(bar, shape=shape, name=name, path=path)
    if rules is not None and not wrong and bar.size_mm in rules.diameters:
        yield from _workable(bar, rules=rules, name=name, path=path)


def _home(code: str) -> Catalogue | None:
    """The catalogue that a code belongs to; codes of different catalogues differ."""
    found = (catalogues.load(name) for name in catalogues.known())
    return next((catalogue for catalogue in found if code in catalogue.shapes), None)


def _foreign(bar: BarMark, *, name: str, path: str, rules: Rules | None) -> Fault:
    home = _home(bar.shape)
    own = rules.catalogue.title if rules is not None else "none"
    where, code = (home.title, home.id) if home is not None else ("no catalogue", "")
    message = (
        f"{name}: shape {show(bar.shape)} is one of {where}, and this schedule is read by {own}; "
        f"name steel_methods.catalogue {show(code)} or correct the shape"
    )
    return Fault(f"{path}.shape", "shape_of_another_catalogue", message)


def _letters(bar: BarMark, *, shape: Shape, name: str, path: str) -> Iterator[Fault]:
    given = frozenset(bar.dimensions)
    if any(form.letters <= given <= form.letters | form.also for form in shape.forms):
        return
    form = shapes.nearest_form(shape, given=given)
    for letter in sorted(form.letters - given):
        message = f"{name}: a {bar.shape} bar needs dimension {letter}; add it in mm"
        yield Fault(f"{path}.dimensions.{letter}", "dimension_missing", message)
    allowed = shape.letters if given - shape.letters else form.letters | form.also
    for letter, length in bar.dimensions.items():
        if letter not in form.letters | form.also:
            message = (
                f"{name}: a {bar.shape} bar has no dimension {letter} ({show(length)} mm); "
                f"it has {', '.join(sorted(allowed))}: take it out or correct the shape"
            )
            yield Fault(f"{path}.dimensions.{letter}", "dimension_superfluous", message)


def _foreign_fields(bar: BarMark, *, name: str, path: str) -> Iterator[Fault]:
    foreign = []
    if bar.shape != "cranked":
        foreign = [field for field in ("cranks", "crank_angle_deg") if getattr(bar, field) is not None]
    if bar.ends is not None and not _ends_bent(bar):
        foreign.append("ends")
    for field in foreign:
        message = f"{name}: a {bar.shape} bar has no {field}; take it out or correct the shape"
        yield Fault(f"{path}.{field}", "field_superfluous", message)


def _ends_bent(bar: BarMark) -> bool:
    home = _home(bar.shape)
    word = home is not None and home.id == catalogues.WORDS
    return bar.shape in _BENT if word else bar.shape not in {"00", "01", "67", "75", "77"}


def _bendable(bar: BarMark, *, shape: Shape, name: str, path: str) -> Iterator[Fault]:
    """Sides so short that the bar cannot be bent, which would make a cutting length of nothing."""
    given = shapes.dimensions(bar)
    for letter, bound in _least(bar, shape=shape).items():
        length = given.get(letter)
        if length is not None and length <= bound:
            yield Fault(
                f"{path}.dimensions.{letter}",
                "too_short_to_bend",
                f"{name}: dimension {letter} {show(length)} mm must be more than "
                f"{bound:.5g} mm, or a {bar.size_mm} mm bar cannot be bent so; correct it",
            )


def _least(bar: BarMark, *, shape: Shape) -> Mapping[str, float]:
    legs = {leg.letter for leg in shape.legs if leg.letter}
    if bar.shape == "stirrup":
        legs = {"A", "B"}
    if len(shape.legs) < _STRAIGHTEST and not any(leg.arc for leg in shape.legs):
        return {}
    least = dict.fromkeys(sorted(legs), float(_STRAIGHTEST * bar.size_mm))
    if bar.shape == "cranked":
        number, angle = bar.cranks or shapes.USUAL_CRANKS, bar.crank_angle_deg or shapes.USUAL_ANGLE_DEG
        slopes = number * bar.dimensions["D"] / math.tan(math.radians(angle))
        least["B"] = slopes + _LEAST_RUN_DIAMETERS * bar.size_mm
    return least


def _workable(bar: BarMark, *, rules: Rules, name: str, path: str) -> Iterator[Fault]:
    """The length itself: a size without bends in the table, or dimensions that leave nothing."""
    try:
        length = shapes.cutting_length(bar, rules=rules).length_mm
    except ValueError as error:
        message = f"{name}: {error}"
        yield Fault(f"{path}.size_mm", "bend_unknown", message)
        return
    if length <= 0:
        message = f"{name}: the dimensions leave a cutting length of {length:.5g} mm; correct them"
        yield Fault(f"{path}.dimensions", "no_length_left", message)
