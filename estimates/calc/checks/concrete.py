"""Casting checks on concrete, whatever its exposure: class, mix, stone, thickness."""

from collections.abc import Iterator
from dataclasses import replace

from estimates.calc.checks import finding, limits
from estimates.calc.checks.finding import Finding, Severity
from estimates.calc.derivation import Input
from estimates.calc.mix import constituents, facts
from estimates.calc.sheet import grades
from estimates.calc.sheet.mix import DesignedMix, NominalVolumeMix
from estimates.calc.sheet.parts import DesignSheet
from estimates.standards.load import Profile, Value


def cement(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """Cement in a cubic metre against the most.

    Source: IS 456 cl. 8.2.4.2, BS 8110-1 cl. 3.3.5, or custom, as `concrete.cement_max` cites it.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        A finding when there is more.

    Raises:
        ValueError: the profile lacks the sheet's mix method.
    """
    content = cement_content(sheet, profile=profile)
    most = profile.value("concrete.cement_max")
    value = limits.in_unit_of(most, value=content, unit="kg/m³")
    if round(value) > most.value:
        yield finding.against(most, code="cement.most", subject="mix", value=value, params={})


def strength_class(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """A concrete whose cylinder and cube strength are not one class.

    Source: EN 206 table 7 and BS 8500-1, as `concrete.cube_of` cites them.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        A finding when the profile names its concrete by two strengths and these are not a pair of it.
    """
    strength = grade(sheet)
    known = profile.group("concrete.cube_of")
    if not known or sheet.grade == grades.named(strength, profile=profile):
        return
    source = next(iter(known.values())).citation
    params = {"grade": sheet.grade}
    yield finding.note("grade.class", subject="grade", severity=Severity.WARN, params=params, source=source)


def nominal(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """A nominal mix against the grade that it is meant for.

    Source: IS 456 cl. 9.3 and the usual parts printed with table 9, as the standards data cite them.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        A finding for a grade too high, parts that are not the usual ones, an unusual stone split.
    """
    if isinstance(sheet.mix, DesignedMix):
        return
    highest = profile.value("concrete.nominal_mix_grade_max")
    if grade(sheet) > highest.value:
        code = "mix.nominal_grade"
        params = {"grade": sheet.grade, "most": grades.named(highest.value, profile=profile)}
        yield finding.against(highest, code=code, subject="mix.kind", value=grade(sheet), params=params)
    if not isinstance(sheet.mix, NominalVolumeMix):
        return
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
    split = profile.find("stone_split.20")
    if split is not None and sheet.mix.stone_split.get("20", 0.0) != split.value:
        words = {"value": f"{sheet.mix.stone_split.get('20', 0.0):g}", "limit": f"{split.value:g}"}
        yield finding.note("mix.stone_split", subject="mix.stone_split", severity=Severity.NOTE, params=words)


def thickness(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """Thickness against practice and fire.

    Source: `slab.*` and `fire.thickness.*` of the standards data.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        A finding for each limit that is not kept; better practice is only a note.
    """
    least, better = profile.value("slab.thickness_min"), profile.value("slab.thickness_better")
    thick, subject = min(
        [(sheet.thickness_mm, "thickness_mm")]
        + [(panel.thickness_mm, f"panels[{at}].thickness_mm") for at, panel in enumerate(sheet.panels)]
    )
    value = limits.in_unit_of(least, value=thick, unit="mm")
    if value < least.value:
        yield finding.against(least, code="thickness.least", subject=subject, value=value, params={})
    elif value < better.value:
        found = finding.against(better, code="thickness.better", subject=subject, value=value, params={})
        yield replace(found, severity=Severity.NOTE)
    minutes = None if sheet.durability is None else sheet.durability.fire_minutes
    fire = None if minutes is None else profile.find(f"fire.thickness.{minutes}")
    if fire is not None:
        value = limits.in_unit_of(fire, value=thick, unit="mm")
        if value < fire.value:
            params = {"minutes": minutes}
            yield finding.against(fire, code="thickness.fire", subject=subject, value=value, params=params)


def stone(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """The largest stone against thickness, cover and the clear distance of bars.

    Source: IS 456 cl. 5.3.3; BS 8110-1 cl. 3.3.1.3 and EC2 cl. 8.2; ACI 318 cl. 26.4.2.1, as
    `concrete.stone_to_thickness_max` and `stone.*` of the standards data cite them.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        A finding for each limit that is not kept.
    """
    size, thick = facts.largest_stone_mm(sheet.mix), sheet.thickness_mm
    share = profile.value("concrete.stone_to_thickness_max")
    if size > share.value * thick:
        words = {"stone": size, "thickness": f"{thick:g}"}
        yield finding.against(share, code="stone.size", subject="mix", value=size / thick, params=words)
    yield from _stone_and_cover(sheet, stone=size, profile=profile)
    yield from _stone_and_bars(sheet, stone=size, profile=profile)


def _stone_and_cover(sheet: DesignSheet, *, stone: int, profile: Profile) -> Iterator[Finding]:
    covers = (("slab", "cover_mm", sheet.cover_mm), ("beam", "beam_cover_mm", sheet.beam_cover_mm))
    for member, subject, cover in covers:
        below = profile.find(f"stone.below_cover.{member}")
        if below is not None and cover is not None and cover < stone + below.value:
            limit = replace(below, value=stone + below.value)
            yield finding.against(
                limit, code="stone.cover", subject=subject, value=cover, params={"stone": stone}
            )


def _stone_and_bars(sheet: DesignSheet, *, stone: int, profile: Profile) -> Iterator[Finding]:
    """Bars whose clear distance lets the stone through hardly or not: one finding for the closest."""
    rows = [(bar.mark, bar.size_mm, bar.count_rule.spacing_mm) for bar in sheet.bars if bar.count_rule]
    rows += [(rule.mark, rule.size_mm, rule.spacing_mm) for rule in sheet.spacing_rules]
    if not rows:
        return
    clear, mark = min((spacing - size, mark) for mark, size, spacing in rows)
    least = _clear_for(stone, profile=profile)
    if clear < least.value:
        params = {"stone": stone, "mark": mark}
        yield finding.against(least, code="stone.spacing", subject="mix", value=clear, params=params)


def _clear_for(stone: int, *, profile: Profile) -> Value:
    """The clear distance of bars that a stone asks for [mm]."""
    more = profile.find("stone.below_clear_spacing")
    if more is not None:
        return replace(more, value=stone + more.value)
    share = profile.value("stone.to_clear_spacing_max")
    return replace(share, value=round(stone / share.value, 1), unit="mm")


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


def cement_content(sheet: DesignSheet, *, profile: Profile) -> float:
    """Cement in a cubic metre of concrete.

    Source: derived: stated in a designed mix; else by the nominal mix's named method.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Returns:
        The content [kg/m³].

    Raises:
        ValueError: the profile lacks the sheet's mix method.
    """
    if isinstance(sheet.mix, DesignedMix):
        return sheet.mix.cement_kg_m3
    one = Input(1.0, "m³", "one cubic metre")
    return constituents.quantities(sheet.mix, concrete=one, profile=profile)[0].net
