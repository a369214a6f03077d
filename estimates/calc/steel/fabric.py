"""Welded fabric: sheets from an area by a named rule of laps, each count with its derivation."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from estimates.calc import derivation, spacing
from estimates.calc.derivation import Input, Quantity, carried, cited
from estimates.calc.geometry import rings
from estimates.calc.sheet.fabric import Fabric
from estimates.calc.sheet.parts import DesignSheet
from estimates.standards.values import Profile

_MASS: Final = ".mass"
_ROWS: Final = (
    "max(1, ceil((along - end_lap) / (sheet_length - end_lap) - 0.000001))"
    " * max(1, ceil((across - side_lap) / (sheet_width - side_lap) - 0.000001))"
)
_AREA: Final = "ceil(area * 1000000 / ((sheet_length - end_lap) * (sheet_width - side_lap)) - 0.000001)"


@dataclass(frozen=True, slots=True)
class Sheets:
    """A number of sheets; `formula` worked out from `inputs` gives it."""

    number: int
    formula: str
    inputs: dict[str, Input]
    method: str
    source: str


def known(profile: Profile) -> tuple[str, ...]:
    """The designations of a profile's fabrics.

    Source: the profile's `fabric.*`.

    Args:
        profile: the standards profile.

    Returns:
        The designations in the order of the table; none where the profile has no fabric.

    >>> from estimates.standards import load
    >>> known(load.profile("en"))[:2], known(load.profile("aci"))[0]
    (('A142', 'A193'), '6x6-W1.4xW1.4')
    """
    return tuple(key.removesuffix(_MASS) for key in profile.group("fabric") if key.endswith(_MASS))


def lap(fabric: Fabric, *, side: bool, profile: Profile) -> Input:
    """The lap of two sheets.

    Source: the drawing's, else the named rule: so many spaces of the wires that cross the lap, and a length.

    Args:
        fabric: the layer of fabric.
        side: True for the lap at the long sides, False for that at the ends.
        profile: the standards profile.

    Returns:
        The lap [mm].

    >>> from estimates.standards import load
    >>> mesh = Fabric(mark="F1", fabric="A393", along="x", layer="bottom")
    >>> lap(mesh, side=True, profile=load.profile("en")).value
    700.0
    """
    if fabric.lap_mm is not None:
        return Input(fabric.lap_mm, "mm", f"fabric {fabric.mark}: lap of the drawing")
    rule = fabric.lap or profile.choice("steel.method.fabric_lap").value
    spaces, add = (profile.value(f"steel.fabric_lap.{rule}.{name}") for name in ("spaces", "add"))
    pitch = profile.value(f"fabric.{fabric.fabric}.{'main' if side else 'cross'}_pitch")
    words = f"{spaces.value:g} × {pitch.value:g} + {add.value:g}; {add.citation}"
    return Input(spaces.value * pitch.value + add.value, "mm", words)


def count(fabric: Fabric, *, sheet: DesignSheet, profile: Profile) -> Sheets:
    """The sheets of one layer.

    Source: the schedule's number, else the named way: whole sheets in rows over the region's extents, or its
    area over what a sheet covers beside its laps.

    Args:
        fabric: the layer.
        sheet: outline, openings and cover [mm].
        profile: the standards profile.

    Returns:
        The count with its formula, at least 1.

    Raises:
        ValueError: laps as long as the sheet.
    """
    row = f"fabric {fabric.mark}"
    if fabric.sheets is not None:
        given = {"sheets": Input(fabric.sheets, "no.", row)}
        return Sheets(fabric.sheets, "sheets", given, "as the schedule prints it", row)
    chosen = profile.choice("steel.method.fabric_count")
    way = fabric.count or chosen.value
    inputs = {
        "sheet_length": cited(profile.value(f"fabric.{fabric.fabric}.sheet_length")),
        "sheet_width": cited(profile.value(f"fabric.{fabric.fabric}.sheet_width")),
        "end_lap": lap(fabric, side=False, profile=profile),
        "side_lap": lap(fabric, side=True, profile=profile),
    }
    for name, over in (("end_lap", "sheet_length"), ("side_lap", "sheet_width")):
        if inputs[name].value >= inputs[over].value:
            message = f"{row}: a lap of {inputs[name].value:g} mm is as long as the sheet; correct it"
            raise ValueError(message)
    inputs |= _extents(fabric, sheet=sheet) if way == "rows" else {"area": _area(fabric, sheet=sheet)}
    formula = _ROWS if way == "rows" else _AREA
    words = "whole sheets in rows, lapped" if way == "rows" else "area over what a sheet covers"
    number = derivation.work_out(formula, inputs=inputs)
    source = f"named in the design sheet, {row}" if fabric.count else chosen.citation
    return Sheets(int(number), formula, inputs, words, source)


def quantities(sheet: DesignSheet, *, profile: Profile) -> Iterator[Quantity]:
    """Sheets and mass of every layer of fabric.

    Source: see `count`; mass by the table of the fabric's standard.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        `steel.fabric.<mark>` [no.], which is bought, and `steel.fabric.<mark>.mass` [kg], which is stated.
    """
    for fabric in sheet.fabrics:
        found = count(fabric, sheet=sheet, profile=profile)
        sheets = Quantity(
            key=f"steel.fabric.{fabric.mark}",
            member=f"slab, {fabric.layer}",
            title=f"Fabric {fabric.fabric}, sheets {fabric.mark}",
            unit="no.",
            formula=found.formula,
            inputs=found.inputs,
            method=found.method,
            source=found.source,
            material=f"fabric-{fabric.fabric.lower()}",
            kind="fabric",
        )
        yield sheets
        yield _mass(fabric, sheets=sheets, profile=profile)


def _mass(fabric: Fabric, *, sheets: Quantity, profile: Profile) -> Quantity:
    mass = profile.value(f"fabric.{fabric.fabric}.mass")
    sides = {
        name: cited(profile.value(f"fabric.{fabric.fabric}.{name}"))
        for name in ("sheet_length", "sheet_width")
    }
    return Quantity(
        key=f"steel.fabric.{fabric.mark}.mass",
        member=f"slab, {fabric.layer}",
        title=f"Fabric {fabric.fabric}, mass {fabric.mark}",
        unit="kg",
        formula="sheets * sheet_length * sheet_width / 1000000 * mass",
        inputs={"sheets": carried(sheets), **sides, "mass": cited(mass)},
        method="sheets × area of a sheet × mass of a square metre",
        source=mass.citation,
    )


def _extents(fabric: Fabric, *, sheet: DesignSheet) -> dict[str, Input]:
    """The region's reach along and across the sheets, less the cover at both ends."""
    region = fabric.region or sheet.outline
    other = "y" if fabric.along == "x" else "x"
    covers = 2 * sheet.cover_mm
    along = spacing.extent_mm(region, direction="y" if fabric.along == "x" else "x") - covers
    across = spacing.extent_mm(region, direction=fabric.along) - covers
    words = f"fabric {fabric.mark}: extent of the region along {{}}, less two covers of {sheet.cover_mm:g}"
    return {
        "along": Input(along, "mm", words.format(fabric.along)),
        "across": Input(across, "mm", words.format(other)),
    }


def _area(fabric: Fabric, *, sheet: DesignSheet) -> Input:
    region = [rings.ring(fabric.region or sheet.outline)]
    holes = rings.union(*([rings.ring(opening.corners)] for opening in sheet.openings))
    area = rings.area_mm2(rings.difference(region, holes)) / 1e6
    return Input(area, "m²", f"fabric {fabric.mark}: area of the region, openings off")
