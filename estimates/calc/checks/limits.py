"""What the casting checks share: limits in their own unit, which of several governs, bars of a member."""

from collections.abc import Iterable
from dataclasses import replace

from estimates.calc import units
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.steel import members
from estimates.standards.load import Value


def in_unit_of(limit: Value, *, value: float, unit: str) -> float:
    """A figure of the sheet in the unit of the limit that it is held against.

    Source: the unit registry.

    Args:
        limit: the limit.
        value: the figure, in `unit`.
        unit: unit of the figure.

    Returns:
        The figure in the limit's unit.

    Raises:
        ValueError: the two units have different dimensions.

    >>> from estimates.standards import load
    >>> in_unit_of(load.profile("aci").value("cover.sheltered.slab"), value=19.05, unit="mm")
    0.75
    """
    return value if limit.unit == unit else round(units.convert(value, unit=unit, to=limit.unit), 6)


def summed(limits: Iterable[Value], *, clause: str) -> Value:
    """A limit that adds up from several; it weighs no more than the weakest of them.

    Source: derived: addition of the limits beside each other.

    Args:
        limits: at least one limit, all in one unit.
        clause: the clauses that ask for the sum.

    Returns:
        The limit.

    >>> from estimates.standards import load
    >>> en = load.profile("en")
    >>> parts = [en.value("cover.durability.S4.XC1"), en.value("cover.deviation")]
    >>> summed(parts, clause="cl. 4.4.1").value
    25.0
    """
    parts = list(limits)
    weakest = next((part for part in parts if not part.provenance.may_stop), parts[0])
    return replace(
        parts[0], value=sum(part.value for part in parts), provenance=weakest.provenance, clause=clause
    )


def lowered(limit: Value, *, by: Value) -> Value:
    """A limit from which a tolerance is taken; it weighs no more than the weaker of the two.

    Source: derived: difference.

    Args:
        limit: the limit.
        by: the tolerance, in the same unit.

    Returns:
        The limit.

    >>> from estimates.standards import load
    >>> aci = load.profile("aci")
    >>> lowered(aci.value("air.F2.20"), by=aci.value("air.tolerance")).value
    4.5
    """
    weaker = by if limit.provenance.may_stop else limit
    clause = f"{limit.clause} and {by.clause}"
    return replace(limit, value=limit.value - by.value, provenance=weaker.provenance, clause=clause)


def strictest(limits: Iterable[tuple[str, Value]], *, least: bool) -> tuple[str, Value] | None:
    """Of the limits of several exposure classes, the one that governs.

    Source: derived: every class holds, so the strictest does.

    Args:
        limits: pairs of class and limit, all in one unit.
        least: whether they are least values; else most.

    Returns:
        Class and limit, None when there is none; of equal ones the first that may stop.

    >>> from estimates.standards import load
    >>> en = load.profile("en")
    >>> pairs = [(name, en.value(f"exposure.{name}.grade_min")) for name in ("XC1", "XF1")]
    >>> strictest(pairs, least=True)[0]
    'XF1'
    """
    sign = 1 if least else -1
    ranked = [
        (sign * limit.value, limit.provenance.may_stop, -at, pair)
        for at, pair in enumerate(limits)
        for limit in (pair[1],)
    ]
    return max(ranked)[-1] if ranked else None


def slab_bar_sizes(sheet: DesignSheet) -> list[int]:
    """Sizes of the slab's own bars.

    Source: derived: bars whose member names no beam, and all bars at a spacing.

    Args:
        sheet: the design sheet.

    Returns:
        The sizes [mm], small first.
    """
    beams = {beam.name for beam in sheet.beams}
    scheduled = [bar.size_mm for bar in sheet.bars if not members.beams_named(bar.member, beams=beams)]
    return sorted({*scheduled, *(rule.size_mm for rule in sheet.spacing_rules)})


def beam_bar_sizes(sheet: DesignSheet) -> tuple[list[int], list[int]]:
    """Sizes of the beams' stirrups and of their other bars.

    Source: derived: bars whose member names a beam; a closed stirrup by its shape.

    Args:
        sheet: the design sheet.

    Returns:
        Stirrups and main bars [mm], small first.
    """
    names = {beam.name for beam in sheet.beams}
    bars = [bar for bar in sheet.bars if members.beams_named(bar.member, beams=names)]
    links = sorted({bar.size_mm for bar in bars if bar.shape == "stirrup"})
    return links, sorted({bar.size_mm for bar in bars if bar.shape != "stirrup"})


def exposures(sheet: DesignSheet) -> tuple[str, ...]:
    """All exposure classes of the sheet, the first one first.

    Source: the sheet.

    Args:
        sheet: the design sheet.

    Returns:
        The classes.
    """
    further = () if sheet.durability is None else sheet.durability.further
    return tuple(dict.fromkeys((sheet.exposure, *further)))
