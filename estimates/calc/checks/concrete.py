"""Casting checks on concrete: grade, cover, cement and water by exposure, mix, stone and thickness."""

from collections.abc import Iterator
from dataclasses import replace

from estimates.calc import mix
from estimates.calc.checks import finding
from estimates.calc.checks.finding import Finding, Severity
from estimates.calc.derivation import Input
from estimates.calc.sheet import grades
from estimates.calc.sheet.mix import DesignedMix, NominalVolumeMix
from estimates.calc.sheet.parts import DesignSheet
from estimates.standards.load import Profile, Value


def exposure(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """Grade, cover and water/cement against the exposure.

    Source: IS 456 tables 5 and 16, as `exposure.<name>` of the standards data cites them.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        A finding for each limit that is not kept.
    """
    limits = profile.group(f"exposure.{sheet.exposure}")
    words = {"exposure": sheet.exposure.replace("_", " ")}
    if grade(sheet) < limits["grade_min"].value:
        yield finding.against(
            limits["grade_min"], code="exposure.grade", subject="grade", value=grade(sheet), params=words
        )
    covers = [("slab", "cover_mm", sheet.cover_mm), ("beam", "beam_cover_mm", sheet.beam_cover_mm)]
    for member, subject, cover in covers:
        if cover is not None and cover < limits["cover_min"].value:
            code = f"exposure.{member}_cover"
            yield finding.against(limits["cover_min"], code=code, subject=subject, value=cover, params=words)
    ratio = water_cement(sheet.mix)
    if ratio > limits["water_cement_max"].value + 1e-9:
        limit = limits["water_cement_max"]
        yield finding.against(
            limit, code="exposure.water_cement", subject="mix.water_cement", value=ratio, params=words
        )


def cement(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """Cement in a cubic metre against the least for the exposure and the most.

    Source: IS 456 tables 5 and 6 and cl. 8.2.4.2, as the standards data cite them.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        A finding for each limit that is not kept.

    Raises:
        ValueError: the profile lacks the sheet's mix method.
    """
    one = Input(1.0, "m³", "one cubic metre")
    content = mix.quantities(sheet.mix, concrete=one, profile=profile)[0].net
    stone = largest_stone_mm(sheet.mix)
    least = profile.value(f"exposure.{sheet.exposure}.cement_min")
    for_stone = profile.value(f"concrete.cement_for_stone_size.{stone}")
    if for_stone.value:
        least = _sum(least, for_stone)
    # A content read off a public schedule is whole kilograms: a gram below the limit is no finding.
    if round(content) < least.value:
        words = {"exposure": sheet.exposure.replace("_", " "), "stone": stone}
        yield finding.against(least, code="exposure.cement", subject="mix", value=content, params=words)
    most = profile.value("concrete.cement_max")
    if round(content) > most.value:
        yield finding.against(most, code="cement.most", subject="mix", value=content, params={})


def nominal(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """A nominal mix against the grade that it is meant for.

    Source: IS 456 cl. 9.3 and the usual parts printed with table 9, as the standards data cite them.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        A finding for a grade too high, parts that are not the usual ones, an unusual stone split.
    """
    if not isinstance(sheet.mix, NominalVolumeMix):
        return
    highest = profile.value("concrete.nominal_mix_grade_max")
    if grade(sheet) > highest.value:
        code = "mix.nominal_grade"
        yield finding.against(highest, code=code, subject="mix.kind", value=grade(sheet), params={})
    usual = profile.group(f"nominal_mix.{sheet.grade}")
    parts = sheet.mix.parts
    sand, stone = parts.sand / parts.cement, parts.stone / parts.cement
    if usual and (sand, stone) != (usual["sand"].value, usual["stone"].value):
        words = {"sand": f"{sand:.3g}", "stone": f"{stone:.3g}", "grade": sheet.grade}
        words |= {"usual_sand": f"{usual['sand'].value:g}", "usual_stone": f"{usual['stone'].value:g}"}
        source = usual["stone"].citation
        yield finding.note(
            "mix.parts", subject="mix.parts", severity=Severity.WARN, params=words, source=source
        )
    split = profile.value("stone_split.20")
    if sheet.mix.stone_split.get("20", 0.0) != split.value:
        words = {"value": f"{sheet.mix.stone_split.get('20', 0.0):g}", "limit": f"{split.value:g}"}
        yield finding.note("mix.stone_split", subject="mix.stone_split", severity=Severity.NOTE, params=words)


def thickness(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """Thickness against practice, and the largest stone against the thickness.

    Source: `slab.*` and `concrete.stone_to_thickness_max` of the standards data.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        A finding for each limit that is not kept; better practice is only a note.
    """
    least, better = profile.value("slab.thickness_min"), profile.value("slab.thickness_better")
    thick = sheet.thickness_mm
    if thick < least.value:
        yield finding.against(least, code="thickness.least", subject="thickness_mm", value=thick, params={})
    elif thick < better.value:
        found = finding.against(
            better, code="thickness.better", subject="thickness_mm", value=thick, params={}
        )
        yield replace(found, severity=Severity.NOTE)
    share, stone = profile.value("concrete.stone_to_thickness_max"), largest_stone_mm(sheet.mix)
    if stone > share.value * thick:
        words = {"stone": stone, "thickness": f"{thick:g}"}
        yield finding.against(share, code="stone.size", subject="mix", value=stone / thick, params=words)


def grade(sheet: DesignSheet) -> float:
    """The grade's strength, as its profile states it.

    Source: derived: the number of the grade.

    Args:
        sheet: the design sheet.

    Returns:
        The strength: cube of `is` [MPa], cylinder of `en` [MPa] and of `aci` [psi].

    Raises:
        ValueError: the grade is not one of the profile's.
    """
    strength = grades.concrete(sheet.grade, profile=sheet.profile)
    if strength is None:
        message = f"grade {sheet.grade!r} is not a concrete grade of profile {sheet.profile}"
        raise ValueError(message)
    return strength


def water_cement(design: NominalVolumeMix | DesignedMix) -> float:
    """Free water to cement, by mass.

    Source: derived: stated on the drawing, or water ÷ cement of a designed mix.

    Args:
        design: the mix.

    Returns:
        The ratio [1].
    """
    if isinstance(design, DesignedMix):
        return design.water_kg_m3 / design.cement_kg_m3
    return design.water_cement


def largest_stone_mm(design: NominalVolumeMix | DesignedMix) -> int:
    """The largest stone size of which the mix holds any.

    Source: derived.

    Args:
        design: the mix.

    Returns:
        The nominal size [mm].
    """
    shares = design.stone_kg_m3 if isinstance(design, DesignedMix) else design.stone_split
    return max(int(size) for size, share in shares.items() if share)


def _sum(limit: Value, addition: Value) -> Value:
    """A limit raised by an addition; it weighs no more than the weaker of the two."""
    weaker = addition if limit.provenance.may_stop else limit
    clause = f"{limit.clause} and {addition.clause}"
    return replace(limit, value=limit.value + addition.value, provenance=weaker.provenance, clause=clause)
