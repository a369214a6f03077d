"""Development length and laps by IS 456:2000, clause by clause. Lengths in mm, stresses in MPa."""

from typing import Final, Literal

from estimates.calc.derivation import Input, cited
from estimates.calc.detailing.step import Step, given, places
from estimates.standards.values import Profile, StandardsError

Stress = Literal["flexural", "direct", "compression"]

_SIZE: Final = "bar size"
_RIGHT_ANGLE_PARTS: Final = 45


def bond_stress(cube_mpa: float, *, yield_mpa: float, compression: bool, profile: Profile) -> Step:
    """Design bond stress of a bar.

    Source: IS 456:2000 cl. 26.2.1.1: table for plain bars in tension; more when deformed or pressed.

    Args:
        cube_mpa: characteristic cube strength [MPa]; between two grades of the table the lower one counts.
        yield_mpa: characteristic strength of the bar [MPa]; mild steel counts as plain.
        compression: whether the bar is in compression.
        profile: the Indian profile.

    Returns:
        The stress [MPa].

    Raises:
        StandardsError: the table begins at a stronger concrete.

    >>> from estimates.standards import load
    >>> code = load.profile("is")
    >>> round(bond_stress(20, yield_mpa=415, compression=False, profile=code).value, 2)
    1.92
    """
    table = {int(grade): value for grade, value in profile.group("laps.bond").items()}
    grades = [grade for grade in table if grade <= cube_mpa]
    if not grades:
        message = f"concrete of {cube_mpa:g} MPa has no bond stress; the table begins at {min(table)} MPa"
        raise StandardsError(message)
    plain = table[max(grades)]
    used, inputs, formula = [plain], {"plain": cited(plain)}, "plain"
    if yield_mpa > profile.number("laps.plain_yield"):
        formula = f"{formula} * deformed"
        used.append(profile.value("laps.bond_deformed"))
        inputs["deformed"] = cited(used[-1])
    if compression:
        formula = f"{formula} * pressed"
        used.append(profile.value("laps.bond_compression"))
        inputs["pressed"] = cited(used[-1])
    return Step("bond stress", formula, inputs, "MPa", places(*used))


def development_length(size_mm: float, *, yield_mpa: float, bond: Step, profile: Profile) -> Step:
    """Development length at full stress.

    Source: IS 456:2000 cl. 26.2.1: size × stress / (4 × bond stress).

    Args:
        size_mm: size of the bar [mm].
        yield_mpa: characteristic strength of the bar [MPa].
        bond: design bond stress [MPa].
        profile: the Indian profile.

    Returns:
        The length [mm].

    >>> from estimates.standards import load
    >>> code = load.profile("is")
    >>> bond = bond_stress(20, yield_mpa=500, compression=False, profile=code)
    >>> round(development_length(10, yield_mpa=500, bond=bond, profile=code).value)
    566
    """
    share = profile.value("laps.stress_share")
    inputs = {
        "size": given(size_mm, unit="mm", source=_SIZE),
        "share": cited(share),
        "fy": given(yield_mpa, unit="MPa", source="steel grade"),
        "bond": bond.carried,
    }
    return Step("development length", "size * share * fy / (4 * bond)", inputs, "mm", places(share))


def bundled_length(length: Step, *, bars: int, profile: Profile) -> Step:
    """Development length of each bar of a bundle.

    Source: IS 456:2000 cl. 26.2.1.2: 10, 20 and 33 % more for two, three and four bars in contact.

    Args:
        length: development length of a single bar [mm].
        bars: bars in contact, 2 to 4.
        profile: the Indian profile.

    Returns:
        The length [mm].

    Raises:
        StandardsError: the clause has no bundle of so many bars.

    >>> from estimates.standards import load
    >>> single = Step("length", "600", {}, "mm", "by hand")
    >>> round(bundled_length(single, bars=3, profile=load.profile("is")).value)
    720
    """
    more = profile.value(f"laps.bundle.{bars}")
    inputs = {"length": length.carried, "bundle": cited(more)}
    return Step("development length in a bundle", "length * bundle", inputs, "mm", places(more))


def lap_length(size_mm: float, *, development: Step, stress: Stress, profile: Profile) -> Step:
    """Lap length of a bar by the kind of stress.

    Source: IS 456:2000 cl. 26.2.5.1 c and d: flexural tension Ld or 30 diameters, direct tension 2 Ld or 30,
    compression Ld in compression or 24; the larger.

    Args:
        size_mm: size of the smaller bar [mm].
        development: development length under that stress [mm].
        stress: kind of stress.
        profile: the Indian profile.

    Returns:
        The length [mm].

    >>> from estimates.standards import load
    >>> ld = Step("development length", "300", {}, "mm", "by hand")
    >>> lap_length(12, development=ld, stress="flexural", profile=load.profile("is")).value
    360.0
    """
    least = profile.value(f"laps.{stress}.diameters")
    inputs: dict[str, Input] = {
        "size": given(size_mm, unit="mm", source=_SIZE),
        "least": cited(least),
        "length": development.carried,
    }
    formula, used = "max(length, least * size)", [least]
    if stress == "direct":
        used.append(profile.value("laps.direct.lengths"))
        inputs["lengths"] = cited(used[-1])
        formula = "max(lengths * length, least * size)"
    return Step("lap", formula, inputs, "mm", places(*used))


def lap_near_faces(
    lap: Step, *, size_mm: float, cover_mm: float, top: bool, corner: bool, profile: Profile
) -> Step:
    """Lap length where top or corner bars have little cover.

    Source: IS 456:2000 cl. 26.2.5.1 c: 1.4 times for top bars or for corner bars with cover under
    2 diameters, 2.0 times where both hold.

    Args:
        lap: lap length by the kind of stress [mm].
        size_mm: size of the bar [mm].
        cover_mm: least cover [mm].
        top: whether the bars lie at the top of the pour.
        corner: whether they lie at the corner of a section.
        profile: the Indian profile.

    Returns:
        The length [mm]; the same step where neither holds.

    >>> from estimates.standards import load
    >>> lap = Step("lap", "600", {}, "mm", "by hand")
    >>> near = {"size_mm": 16, "cover_mm": 25, "top": True, "corner": False}
    >>> round(lap_near_faces(lap, **near, profile=load.profile("is")).value)
    840
    """
    small = cover_mm < profile.number("laps.small_cover.diameters") * size_mm
    if not small or not (top or corner):
        return lap
    more = profile.value("laps.top_and_corner" if top and corner else "laps.top_or_corner")
    inputs = {"lap": lap.carried, "more": cited(more)}
    return Step("lap with little cover", "lap * more", inputs, "mm", places(more))


def straight_part(size_mm: float, *, profile: Profile) -> Step:
    """Straight length within a lap.

    Source: IS 456:2000 cl. 26.2.5.1 c: 15 diameters or 200 mm, the larger.

    Args:
        size_mm: size of the bar [mm].
        profile: the Indian profile.

    Returns:
        The length [mm].

    >>> from estimates.standards import load
    >>> straight_part(10, profile=load.profile("is")).value
    200.0
    """
    diameters, length = profile.value("laps.straight.diameters"), profile.value("laps.straight.length")
    inputs = {
        "size": given(size_mm, unit="mm", source=_SIZE),
        "diameters": cited(diameters),
        "least": cited(length),
    }
    return Step(
        "straight part of a lap", "max(diameters * size, least)", inputs, "mm", places(diameters, length)
    )


def bend_anchorage(size_mm: float, *, angle_deg: float, profile: Profile) -> Step:
    """What a standard bend or hook counts for as anchorage.

    Source: IS 456:2000 cl. 26.2.2.1 b: 4 diameters for each 45°, at most 16; a U hook 16.

    Args:
        size_mm: size of the bar [mm].
        angle_deg: angle of the bend [°].
        profile: the Indian profile.

    Returns:
        The anchorage value [mm].

    >>> from estimates.standards import load
    >>> bend_anchorage(12, angle_deg=90, profile=load.profile("is")).value
    96.0
    """
    per_part, most = profile.value("laps.hook.per_45"), profile.value("laps.hook.most")
    inputs = {
        "size": given(size_mm, unit="mm", source=_SIZE),
        "per_45": cited(per_part),
        "angle": given(angle_deg, unit="°", source="shape of the bar"),
        "most": cited(most),
    }
    formula = f"min(per_45 * floor(angle / {_RIGHT_ANGLE_PARTS} + 0.000001), most) * size"
    return Step("anchorage of a bend", formula, inputs, "mm", places(per_part, most))
