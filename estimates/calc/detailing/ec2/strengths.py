"""Strengths and bond by EN 1992-1-1:2004, clause by clause. Stresses in MPa, sizes in mm."""

from typing import Final, Literal

from estimates.calc.derivation import cited
from estimates.calc.detailing.step import Step, given, places
from estimates.standards.values import Profile, StandardsError

Bond = Literal["good", "poor"]
Named = Literal["recommended", "british"]

SIZE: Final = "bar size"


def mean_tensile_strength(cylinder_mpa: float, *, profile: Profile) -> Step:
    """Mean tensile strength of concrete.

    Source: EN 1992-1-1:2004 table 3.1: fctm = 0.30 fck^(2/3), up to C50/60.

    Args:
        cylinder_mpa: characteristic cylinder strength [MPa].
        profile: the European profile.

    Returns:
        The strength [MPa].

    Raises:
        StandardsError: the concrete is stronger than C50/60.

    >>> from estimates.standards import load
    >>> round(mean_tensile_strength(25, profile=load.profile("en")).value, 3)
    2.565
    """
    most, factor = profile.value("laps.fctm_class_most"), profile.value("laps.fctm_factor")
    if cylinder_mpa > most.value:
        message = (
            f"concrete of {cylinder_mpa:g} MPa is above {most.value:g} MPa, up to which fctm is known here"
        )
        raise StandardsError(message)
    inputs = {
        "factor": cited(factor),
        "fck": given(cylinder_mpa, unit="MPa", source="concrete grade"),
    }
    return Step("mean tensile strength", "factor * fck ** (2 / 3)", inputs, "MPa", places(factor))


def design_tensile_strength(mean: Step, *, profile: Profile) -> Step:
    """Design tensile strength of concrete.

    Source: EN 1992-1-1:2004 cl. 3.1.6 (2), formula 3.16: fctd = alpha_ct × 0.7 fctm / gamma_c.

    Args:
        mean: mean tensile strength [MPa].
        profile: the European profile.

    Returns:
        The strength [MPa].

    >>> from estimates.standards import load
    >>> code = load.profile("en")
    >>> round(design_tensile_strength(mean_tensile_strength(25, profile=code), profile=code).value, 3)
    1.197
    """
    names = {"alpha_ct": "laps.alpha_ct", "share": "laps.fctk_share", "gamma_c": "laps.gamma_c"}
    used = {name: profile.value(key) for name, key in names.items()}
    inputs = {"fctm": mean.carried} | {name: cited(value) for name, value in used.items()}
    formula = "alpha_ct * share * fctm / gamma_c"
    return Step("design tensile strength", formula, inputs, "MPa", places(*used.values()))


def bond_stress(size_mm: float, *, tensile: Step, bond: Bond, profile: Profile) -> Step:
    """Ultimate bond stress of a ribbed bar.

    Source: EN 1992-1-1:2004 cl. 8.4.2, formula 8.2: fbd = 2.25 eta1 eta2 fctd.

    Args:
        size_mm: size of the bar [mm].
        tensile: design tensile strength [MPa].
        bond: bond conditions.
        profile: the European profile.

    Returns:
        The stress [MPa].

    >>> from estimates.standards import load
    >>> code = load.profile("en")
    >>> fctd = design_tensile_strength(mean_tensile_strength(25, profile=code), profile=code)
    >>> round(bond_stress(12, tensile=fctd, bond="good", profile=code).value, 2)
    2.69
    """
    factor, eta1 = profile.value("laps.bond_factor"), profile.value(f"laps.eta1_{bond}")
    used = [factor, eta1]
    inputs = {"factor": cited(factor), "eta1": cited(eta1), "fctd": tensile.carried}
    formula = "factor * eta1 * fctd"
    if size_mm > profile.number("laps.eta2_size"):
        used.append(profile.value("laps.eta2_from"))
        inputs["size"] = given(size_mm, unit="mm", source=SIZE)
        inputs["eta2_from"] = cited(used[-1])
        formula = f"{formula} * (eta2_from - size) / 100"
    return Step(f"bond stress, {bond} bond", formula, inputs, "MPa", places(*used))


def design_stress(yield_mpa: float, *, named: Named, profile: Profile) -> Step:
    """Design stress of a bar that is fully used.

    Source: EN 1992-1-1:2004 cl. 3.2.7: fyd = fyk / gamma_s; the British manual rounds it to 1 MPa.

    Args:
        yield_mpa: characteristic strength of the bar [MPa].
        named: set of values.
        profile: the European profile.

    Returns:
        The stress [MPa].

    >>> from estimates.standards import load
    >>> design_stress(500, named="british", profile=load.profile("en")).value
    435.0
    """
    gamma, step = profile.value("laps.gamma_s"), profile.value(f"laps.{named}.stress_step")
    inputs = {"fyk": given(yield_mpa, unit="MPa", source="steel grade"), "gamma_s": cited(gamma)}
    formula, used = "fyk / gamma_s", [gamma]
    if step.value:
        used.append(step)
        inputs["step"] = cited(step)
        formula = "step * floor(fyk / gamma_s / step + 0.5)"
    return Step("design stress", formula, inputs, "MPa", places(*used))
