"""Anchorage and laps by EN 1992-1-1:2004, clause by clause. Lengths in mm, stresses in MPa."""

from itertools import pairwise

from estimates.calc.derivation import Input, cited
from estimates.calc.detailing.ec2.strengths import SIZE, Named
from estimates.calc.detailing.step import Step, given, places
from estimates.standards.values import Profile, Value


def basic_anchorage(size_mm: float, *, stress: Step, bond: Step) -> Step:
    """Basic anchorage length.

    Source: EN 1992-1-1:2004 cl. 8.4.3, formula 8.3: lb,rqd = (size / 4) (stress / fbd).

    Args:
        size_mm: size of the bar [mm].
        stress: design stress where the anchorage begins [MPa].
        bond: ultimate bond stress [MPa].

    Returns:
        The length [mm].

    >>> stress, bond = Step("stress", "435", {}, "MPa", ""), Step("bond", "2.7", {}, "MPa", "")
    >>> round(basic_anchorage(16, stress=stress, bond=bond).value)
    644
    """
    inputs = {
        "size": given(size_mm, unit="mm", source=SIZE),
        "stress": stress.carried,
        "bond": bond.carried,
    }
    source = "en-1992-1-1-2004, cl. 8.4.3, formula 8.3"
    return Step("basic anchorage length", "size / 4 * stress / bond", inputs, "mm", source)


def alpha_2(size_mm: float, *, cd_mm: float, profile: Profile) -> Step:
    """What concrete cover takes off the anchorage of a straight bar in tension.

    Source: EN 1992-1-1:2004 table 8.2: 1 - 0.15 (cd - size) / size, from 0.7 to 1.

    Args:
        size_mm: size of the bar [mm].
        cd_mm: least of cover, side cover and half the clear distance [mm].
        profile: the European profile.

    Returns:
        The coefficient [1].

    >>> from estimates.standards import load
    >>> round(alpha_2(16, cd_mm=25, profile=load.profile("en")).value, 4)
    0.9156
    """
    slope, least = profile.value("laps.alpha2_slope"), profile.value("laps.alpha2_least")
    inputs = {
        "slope": cited(slope),
        "cd": given(cd_mm, unit="mm", source="least of cover and half the clear distance"),
        "size": given(size_mm, unit="mm", source=SIZE),
        "least": cited(least),
    }
    formula = "min(1, max(least, 1 - slope * (cd - size) / size))"
    return Step("alpha 2", formula, inputs, "1", places(slope, least))


def least_anchorage(size_mm: float, *, basic: Step, compression: bool, profile: Profile) -> Step:
    """Least anchorage length.

    Source: EN 1992-1-1:2004 cl. 8.4.4, formulas 8.6 and 8.7: 0.3 lb,rqd in tension, 0.6 in compression, 10
    diameters, 100 mm; the largest.

    Args:
        size_mm: size of the bar [mm].
        basic: basic anchorage length [mm].
        compression: whether the bar is in compression.
        profile: the European profile.

    Returns:
        The length [mm].

    >>> from estimates.standards import load
    >>> basic = Step("basic", "300", {}, "mm", "")
    >>> least_anchorage(8, basic=basic, compression=False, profile=load.profile("en")).value
    100.0
    """
    share = profile.value(f"laps.anchorage_min.share{'_compression' if compression else ''}")
    return _least(
        "least anchorage", size_mm=size_mm, basic=basic, share=share, rest="anchorage_min", profile=profile
    )


def anchorage_length(basic: Step, *, alpha2: Step | None, least: Step) -> Step:
    """Design anchorage length of a straight bar; the coefficients of shape, links and pressure are 1.

    Source: EN 1992-1-1:2004 cl. 8.4.4, formula 8.4: alpha2 × lb,rqd, at least lb,min.

    Args:
        basic: basic anchorage length [mm].
        alpha2: coefficient of cover in tension; None in compression, where it is 1.
        least: least anchorage length [mm].

    Returns:
        The length [mm].

    >>> one, least = Step("basic", "600", {}, "mm", ""), Step("least", "180", {}, "mm", "")
    >>> anchorage_length(one, alpha2=None, least=least).value
    600.0
    """
    inputs = {"basic": basic.carried, "least": least.carried}
    formula = "max(basic, least)"
    if alpha2 is not None:
        inputs["alpha2"] = alpha2.carried
        formula = "max(alpha2 * basic, least)"
    return Step("anchorage length", formula, inputs, "mm", "en-1992-1-1-2004, cl. 8.4.4, formula 8.4")


def alpha_6(lapped_percent: float, *, named: Named, profile: Profile) -> Step:
    """What the share of bars lapped at one section adds.

    Source: EN 1992-1-1:2004 cl. 8.7.3: (share / 25)^0.5, from 1 to 1.5; the British manual reads table 8.3,
    whose 1.15 and 1.4 are rounded.

    Args:
        lapped_percent: share of the bars lapped at one section [%].
        named: set of values.
        profile: the European profile.

    Returns:
        The coefficient [1].

    >>> from estimates.standards import load
    >>> code = load.profile("en")
    >>> round(alpha_6(50, named="recommended", profile=code).value, 3)
    1.414
    >>> alpha_6(50, named="british", profile=code).value
    1.4
    """
    if named == "british":
        return _alpha_6_of_table(lapped_percent, profile=profile)
    share, least, most = (profile.value(f"laps.alpha6.{name}") for name in ("share", "least", "most"))
    inputs = {
        "lapped": _lapped(lapped_percent),
        "share": cited(share),
        "least": cited(least),
        "most": cited(most),
    }
    formula = "min(most, max(least, (lapped / share) ** 0.5))"
    return Step("alpha 6", formula, inputs, "1", places(share))


def least_lap(size_mm: float, *, basic: Step, alpha6: Step, profile: Profile) -> Step:
    """Least lap length.

    Source: EN 1992-1-1:2004 cl. 8.7.3, formula 8.11: 0.3 alpha6 lb,rqd, 15 diameters, 200 mm; the largest.

    Args:
        size_mm: size of the bar [mm].
        basic: basic anchorage length [mm].
        alpha6: coefficient of the share lapped [1].
        profile: the European profile.

    Returns:
        The length [mm].

    >>> from estimates.standards import load
    >>> basic, six = Step("basic", "300", {}, "mm", ""), Step("alpha 6", "1.5", {}, "1", "")
    >>> least_lap(8, basic=basic, alpha6=six, profile=load.profile("en")).value
    200.0
    """
    found = _least(
        "least lap",
        size_mm=size_mm,
        basic=basic,
        share=profile.value("laps.lap_min.share"),
        rest="lap_min",
        profile=profile,
    )
    inputs = {**found.inputs, "alpha6": alpha6.carried}
    formula = "max(share * alpha6 * basic, diameters * size, length)"
    return Step(found.name, formula, inputs, "mm", found.source)


def lap_length(basic: Step, *, alpha2: Step | None, alpha6: Step, least: Step) -> Step:
    """Design lap length of straight bars.

    Source: EN 1992-1-1:2004 cl. 8.7.3, formula 8.10: alpha2 × alpha6 × lb,rqd, at least l0,min.

    Args:
        basic: basic anchorage length [mm].
        alpha2: coefficient of cover in tension; None in compression, where it is 1.
        alpha6: coefficient of the share lapped [1].
        least: least lap length [mm].

    Returns:
        The length [mm].

    >>> one, least = Step("basic", "600", {}, "mm", ""), Step("least", "200", {}, "mm", "")
    >>> lap_length(one, alpha2=None, alpha6=Step("alpha 6", "1.5", {}, "1", ""), least=least).value
    900.0
    """
    inputs = {"alpha6": alpha6.carried, "basic": basic.carried, "least": least.carried}
    formula = "max(alpha6 * basic, least)"
    if alpha2 is not None:
        inputs["alpha2"] = alpha2.carried
        formula = "max(alpha2 * alpha6 * basic, least)"
    return Step("lap", formula, inputs, "mm", "en-1992-1-1-2004, cl. 8.7.3, formula 8.10")


def rounded(length: Step, *, named: Named, profile: Profile) -> Step:
    """A length raised to the step of its set of values.

    Source: the British manual's table raises to 10 mm; the recommended values are not rounded.

    Args:
        length: a length [mm].
        named: set of values.
        profile: the European profile.

    Returns:
        The length [mm].

    >>> from estimates.standards import load
    >>> rounded(Step("lap", "591.2", {}, "mm", ""), named="british", profile=load.profile("en")).value
    600.0
    """
    step = profile.value(f"laps.{named}.length_step")
    if not step.value:
        return length
    inputs = {"length": length.carried, "step": cited(step)}
    return Step(length.name, "step * ceil(length / step - 0.000001)", inputs, "mm", places(step))


def bundle_size(size_mm: float, *, bars: int) -> Step:
    """Size of the single bar that a bundle counts as.

    Source: EN 1992-1-1:2004 cl. 8.9.1 (2), formula 8.14: size × (number)^0.5.

    Args:
        size_mm: size of each bar [mm].
        bars: bars in the bundle.

    Returns:
        The equivalent size [mm].

    >>> round(bundle_size(20, bars=2).value, 1)
    28.3
    """
    inputs = {
        "size": given(size_mm, unit="mm", source=SIZE),
        "bars": given(bars, unit="no.", source="bars in the bundle"),
    }
    source = "en-1992-1-1-2004, cl. 8.9.1 (2), formula 8.14 (memory)"
    return Step("equivalent size of the bundle", "size * bars ** 0.5", inputs, "mm", source)


def _lapped(percent: float) -> Input:
    return given(percent, unit="%", source="bars lapped at one section")


def _alpha_6_of_table(lapped_percent: float, *, profile: Profile) -> Step:
    """The value of a column, on the line between two columns, or that of the last one."""
    table = {float(column): value for column, value in profile.group("laps.alpha6.table").items()}
    *columns, last = sorted(table)
    if lapped_percent > columns[-1]:
        return Step("alpha 6", "above", {"above": cited(table[last])}, "1", places(table[last]))
    if lapped_percent <= columns[0]:
        first = table[columns[0]]
        return Step("alpha 6", "first", {"first": cited(first)}, "1", places(first))
    below, above = next((a, b) for a, b in pairwise(columns) if a <= lapped_percent <= b)
    inputs = {
        "lapped": _lapped(lapped_percent),
        "below": cited(table[below]),
        "above": cited(table[above]),
        "from_share": given(below, unit="%", source="column of the table"),
        "to_share": given(above, unit="%", source="column of the table"),
    }
    formula = "below + (above - below) * (lapped - from_share) / (to_share - from_share)"
    return Step("alpha 6", formula, inputs, "1", places(table[below]))


def _least(name: str, *, size_mm: float, basic: Step, share: Value, rest: str, profile: Profile) -> Step:
    """Largest of a share of the basic length, a number of diameters and a length."""
    diameters, length = profile.value(f"laps.{rest}.diameters"), profile.value(f"laps.{rest}.length")
    inputs: dict[str, Input] = {
        "share": cited(share),
        "basic": basic.carried,
        "diameters": cited(diameters),
        "size": given(size_mm, unit="mm", source=SIZE),
        "length": cited(length),
    }
    formula = "max(share * basic, diameters * size, length)"
    return Step(name, formula, inputs, "mm", places(share, diameters, length))
