"""Development and splices by ACI 318-19, clause by clause. Lengths in inches, stresses in psi."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from estimates.calc.derivation import Input, cited
from estimates.calc.detailing.step import Step, given, places
from estimates.standards.values import Profile, StandardsError, Value

Splice = Literal["a", "b"]

MM_PER_INCH: Final = 25.4
_PAIR: Final = 2
_ROOT: Final = "light * min(root_most, fc ** 0.5)"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A bar with what its development depends on: strengths in psi, cover and spacing ample or not.

    `coated` tells an epoxy-coated bar; `ample` that clear spacing and cover are those of the table's better
    cases; `top` that more than 12 in of fresh concrete lie below; `light` lightweight concrete.
    """

    size_mm: int
    yield_psi: float
    strength_psi: float
    top: bool = False
    ample: bool = True
    coated: bool = False
    light: bool = False


def diameter(size_mm: int, *, profile: Profile) -> Step:
    """Nominal diameter of a bar.

    Source: ASTM A615, table of bars.

    Args:
        size_mm: size in soft millimetres, as 13 for no. 4.
        profile: the American profile.

    Returns:
        The diameter [in].

    Raises:
        StandardsError: the table has no such bar.

    >>> from estimates.standards import load
    >>> diameter(13, profile=load.profile("aci")).value
    0.5
    """
    value = profile.value(f"laps.diameter.{size_mm}")
    return Step("bar diameter", "diameter", {"diameter": cited(value)}, "in", value.citation)


def tension_development(bar: Bar, *, profile: Profile) -> Step:
    """Development length of a straight bar in tension, by the simple table.

    Source: ACI 318-19 table 25.4.2.3: fy psi_t psi_e psi_g db / (25 lambda f'c^0.5) up to no. 6 and 20 above;
    other cases with 3 over 50 and 40; at least 12 in.

    Args:
        bar: the bar, strengths [psi].
        profile: the American profile.

    Returns:
        The length [in].

    Raises:
        StandardsError: the table has no such bar, or no factor for the grade of steel.

    >>> from estimates.standards import load
    >>> bar = Bar(size_mm=25, yield_psi=60000, strength_psi=4000)
    >>> round(tension_development(bar, profile=load.profile("aci")).value, 1)
    47.4
    """
    small = bar.size_mm <= profile.number("laps.tension.small_size")
    case = f"{'good' if bar.ample else 'other'}_{'small' if small else 'large'}"
    divisor, least = profile.value(f"laps.tension.{case}"), profile.value("laps.tension.least")
    inputs = _strengths(bar, profile=profile) | {"divisor": cited(divisor), "least": cited(least)}
    factor = "fy"
    if not bar.ample:
        inputs["other"] = cited(profile.value("laps.tension.other_factor"))
        factor = "other * fy"
    factors = _psi(bar, profile=profile)
    formula = f"max({' * '.join([factor, *factors, 'db'])} / (divisor * {_ROOT}), least)"
    return Step("development length", formula, inputs | factors, "in", places(divisor, least))


def tension_development_general(bar: Bar, *, confinement: float, profile: Profile) -> Step:
    """Development length of a straight bar in tension, by the general formula.

    Source: ACI 318-19 formula 25.4.2.4a: 3/40 fy psi_t psi_e psi_s psi_g db / (lambda f'c^0.5) over
    (cb + Ktr) / db.

    Args:
        bar: the bar, strengths [psi]; `ample` plays no part.
        confinement: (cb + Ktr) / db, of which at most 2.5 count [1].
        profile: the American profile.

    Returns:
        The length [in].

    Raises:
        StandardsError: the table has no such bar, or no factor for the grade of steel.

    >>> from estimates.standards import load
    >>> bar = Bar(size_mm=25, yield_psi=60000, strength_psi=4000)
    >>> round(tension_development_general(bar, confinement=2.5, profile=load.profile("aci")).value, 1)
    28.5
    """
    names = {"factor": "general_factor", "most": "confinement_most", "least": "least"}
    used = {name: profile.value(f"laps.tension.{key}") for name, key in names.items()}
    inputs = _strengths(bar, profile=profile) | {name: cited(value) for name, value in used.items()}
    inputs["confined"] = given(confinement, unit="1", source="(cb + Ktr) / db of the section")
    factors = _psi(bar, profile=profile)
    if bar.size_mm <= profile.number("laps.tension.small_size"):
        factors["psi_s"] = cited(profile.value("laps.psi_s_small"))
    top = " * ".join(["factor", "fy", *factors, "db"])
    formula = f"max({top} / ({_ROOT} * min(confined, most)), least)"
    return Step("development length", formula, inputs | factors, "in", places(*used.values()))


def splice(development: Step, *, kind: Splice, profile: Profile) -> Step:
    """Lap splice in tension.

    Source: ACI 318-19 cl. 25.5.2.1: class A 1.0, class B 1.3 development lengths, at least 12 in.

    Args:
        development: development length, not rounded [in].
        kind: class of the splice.
        profile: the American profile.

    Returns:
        The length [in].

    >>> from estimates.standards import load
    >>> length = Step("development length", "47.43", {}, "in", "")
    >>> round(splice(length, kind="b", profile=load.profile("aci")).value, 1)
    61.7
    """
    times, least = profile.value(f"laps.class_{kind}"), profile.value("laps.lap_least")
    inputs = {"times": cited(times), "length": development.carried, "least": cited(least)}
    return Step(
        f"class {kind.upper()} lap splice", "max(times * length, least)", inputs, "in", places(times, least)
    )


def hook_development(bar: Bar, *, factors: Mapping[str, float], profile: Profile) -> Step:
    """Development length of a standard hook in tension.

    Source: ACI 318-19 cl. 25.4.3.1: fy psi_e psi_r psi_o psi_c db^1.5 / (55 lambda f'c^0.5), 8 db, 6 in; the
    largest.

    Args:
        bar: the bar, strengths [psi].
        factors: psi_r, psi_o, psi_c as the engineer takes them [1].
        profile: the American profile.

    Returns:
        The length [in].

    Raises:
        StandardsError: the table has no such bar.

    >>> from estimates.standards import load
    >>> bar = Bar(size_mm=25, yield_psi=60000, strength_psi=4000)
    >>> round(hook_development(bar, factors={}, profile=load.profile("aci")).value, 1)
    17.2
    """
    names = ("factor", "power", "diameters", "least")
    used = {name: profile.value(f"laps.hook.{name}") for name in names}
    inputs = _strengths(bar, profile=profile) | {name: cited(value) for name, value in used.items()}
    inputs |= {name: given(value, unit="1", source="the engineer's") for name, value in factors.items()}
    if bar.coated:
        inputs["psi_e"] = cited(profile.value("laps.psi_e_coated"))
    top = " * ".join(["fy", *(name for name in inputs if name.startswith("psi_")), "db ** power"])
    formula = f"max({top} / (factor * {_ROOT}), diameters * db, least)"
    return Step("development length of a hook", formula, inputs, "in", places(*used.values()))


def compression_development(bar: Bar, *, profile: Profile) -> Step:
    """Development length in compression.

    Source: ACI 318-19 cl. 25.4.9: fy db / (50 lambda f'c^0.5), 0.0003 fy db, 8 in; the largest; without
    confinement.

    Args:
        bar: the bar, strengths [psi].
        profile: the American profile.

    Returns:
        The length [in].

    Raises:
        StandardsError: the table has no such bar.

    >>> from estimates.standards import load
    >>> bar = Bar(size_mm=25, yield_psi=60000, strength_psi=4000)
    >>> round(compression_development(bar, profile=load.profile("aci")).value, 1)
    19.0
    """
    names = ("factor", "stress_factor", "least")
    used = {name: profile.value(f"laps.compression.{name}") for name in names}
    inputs = _strengths(bar, profile=profile) | {name: cited(value) for name, value in used.items()}
    formula = f"max(fy * db / (factor * {_ROOT}), stress_factor * fy * db, least)"
    return Step("development length in compression", formula, inputs, "in", places(*used.values()))


def compression_splice(bar: Bar, *, profile: Profile) -> Step:
    """Lap splice in compression, concrete of at least 3,000 psi.

    Source: ACI 318-19 cl. 25.5.5.1: 0.0005 fy db up to grade 60, (0.0009 fy - 24) db above; at least 12 in.

    Args:
        bar: the bar, strengths [psi].
        profile: the American profile.

    Returns:
        The length [in].

    Raises:
        StandardsError: the table has no such bar.

    >>> from estimates.standards import load
    >>> bar = Bar(size_mm=25, yield_psi=60000, strength_psi=4000)
    >>> compression_splice(bar, profile=load.profile("aci")).value
    30.0
    """
    least = profile.value("laps.lap_least")
    low = bar.yield_psi <= profile.number("laps.compression.low_grade")
    factor = profile.value(f"laps.compression.lap_factor{'' if low else '_high'}")
    inputs = {
        "fy": given(bar.yield_psi, unit="psi", source="steel grade"),
        "db": diameter(bar.size_mm, profile=profile).carried,
        "factor": cited(factor),
        "least": cited(least),
    }
    formula = "max(factor * fy * db, least)"
    if not low:
        inputs["less"] = cited(profile.value("laps.compression.lap_less"))
        formula = "max((factor * fy - less) * db, least)"
    return Step("lap splice in compression", formula, inputs, "in", places(factor, least))


def hook_leg(size_mm: int, *, profile: Profile) -> Step:
    """Outside length of the leg of a standard 90° hook.

    Source: ACI 318-19 table 25.3.1: half the inside diameter of bend, the bar, and 12 diameters.

    Args:
        size_mm: size in soft millimetres.
        profile: the American profile.

    Returns:
        The length [in].

    Raises:
        StandardsError: the table has no such bar.

    >>> from estimates.standards import load
    >>> hook_leg(25, profile=load.profile("aci")).value
    16.0
    """
    bend, extension = profile.value(f"laps.hook.bend.{size_mm}"), profile.value("laps.hook.extension_90")
    inputs = {
        "db": diameter(size_mm, profile=profile).carried,
        "bend": cited(bend),
        "extension": cited(extension),
    }
    return Step("leg of a 90° hook", "(bend / 2 + 1 + extension) * db", inputs, "in", places(bend, extension))


def bundled_length(length: Step, *, bars: int, profile: Profile) -> Step:
    """Development length of each bar of a bundle.

    Source: ACI 318-19 cl. 25.6.1.5: 20 % more in a bundle of three, 33 % in one of four.

    Args:
        length: development length of a single bar [in].
        bars: bars in the bundle, 2 to 4.
        profile: the American profile.

    Returns:
        The length [in]; that of the single bar for two.

    Raises:
        StandardsError: the clause has no bundle of so many bars.

    >>> from estimates.standards import load
    >>> single = Step("development length", "40", {}, "in", "")
    >>> bundled_length(single, bars=3, profile=load.profile("aci")).value
    48.0
    """
    if bars == _PAIR:
        return length
    more = profile.value(f"laps.bundle.{bars}")
    inputs = {"length": length.carried, "bundle": cited(more)}
    return Step("development length in a bundle", "length * bundle", inputs, "in", places(more))


def in_mm(length: Step) -> Step:
    """A length in inches as one in millimetres.

    Source: derived: the inch is 25.4 mm exactly.

    Args:
        length: the length [in].

    Returns:
        The length [mm].

    >>> round(in_mm(Step("lap", "12", {}, "in", "")).value, 1)
    304.8
    """
    inputs = {"length": length.carried}
    return Step(length.name, f"length * {MM_PER_INCH}", inputs, "mm", length.source)


def _strengths(bar: Bar, *, profile: Profile) -> dict[str, Input]:
    """fy, f'c, db, the limit of the root and the factor of lightweight concrete."""
    light = cited(profile.value("laps.lambda_light"))
    return {
        "fy": given(bar.yield_psi, unit="psi", source="steel grade"),
        "fc": given(bar.strength_psi, unit="psi", source="concrete grade"),
        "db": diameter(bar.size_mm, profile=profile).carried,
        "root_most": cited(profile.value("laps.tension.root_most")),
        "light": light if bar.light else given(1, unit="1", source="concrete of normal weight"),
    }


def _psi(bar: Bar, *, profile: Profile) -> dict[str, Input]:
    """The factors of place, coating and grade that are not 1; place and coating together have a limit."""
    found = {"psi_g": cited(_grade(bar.yield_psi, profile=profile))}
    coating = None
    if bar.coated:
        coating = profile.value("laps.psi_e_coated" if bar.ample else "laps.psi_e_coated_close")
    top = profile.value("laps.psi_t_top") if bar.top else None
    most = profile.value("laps.psi_e_top_most")
    if top and coating and top.value * coating.value > most.value:
        return found | {"psi_te": cited(most)}
    named = {"psi_t": top, "psi_e": coating}
    return found | {name: cited(value) for name, value in named.items() if value is not None}


def _grade(yield_psi: float, *, profile: Profile) -> Value:
    grades = {int(grade) * 1000: value for grade, value in profile.group("laps.psi_g").items()}
    fitting = [grade for grade in grades if grade >= yield_psi]
    if not fitting:
        message = f"steel of {yield_psi:g} psi has no factor; the table ends at {max(grades)} psi"
        raise StandardsError(message)
    return grades[min(fitting)]
