"""How much concrete constituents make: the sum of their absolute volumes and the air."""

from collections.abc import Sequence

from estimates.calc.derivation import Input, Quantity
from estimates.calc.mix import lines
from estimates.calc.sheet.mix import SiteMix
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile


def implied(mix: SiteMix, *, found: Sequence[Quantity], profile: Profile) -> Quantity:
    """The concrete that a nominal mix's constituents make by absolute volumes, to set beside the net one.

    Source: derived: Σ mass ÷ particle density, and the water, over what the air leaves. Only a measured
    yield of a batch tells the truth; this figure is as good as its densities.

    Args:
        mix: the nominal mix.
        found: its lines, as `constituents.quantities` gives them.
        profile: the standards profile.

    Returns:
        `concrete.implied` [m³].

    >>> from estimates.calc.mix import constituents
    >>> from estimates.calc.sheet.mix import MixParts, NominalVolumeMix
    >>> from estimates.standards import load
    >>> profile = load.profile("is")
    >>> m20 = NominalVolumeMix(kind="nominal_volume", parts=MixParts(1, 1.5, 3), water_cement=0.5,
    ...     stone_split={"20": 60, "10": 40}, method="absolute_volumes")
    >>> made = constituents.quantities(m20, concrete=Input(1, "m³", "by hand"), profile=profile)
    >>> round(implied(m20, found=made, profile=profile).net, 9)
    1.0
    """
    nets = {item.key: item for item in found}
    inputs = {
        "cement": _line(nets["cement"]),
        "cement_particle": lines.particle(mix, material="cement", profile=profile),
        "sand": _line(nets["sand.mass"]),
        "sand_particle": lines.particle(mix, material="sand", profile=profile),
        "water": _line(nets["water"]),
    }
    terms = ["cement / cement_particle", "sand / sand_particle"]
    for size in lines.sizes(mix):
        inputs[f"stone_{size}"] = _line(nets[f"stone.{size}.mass"])
        inputs[f"particle_{size}"] = lines.particle(mix, material=f"stone-{size}", profile=profile)
        terms.append(f"stone_{size} / particle_{size}")
    inputs["air"] = lines.air(mix, profile=profile)
    return Quantity(
        key="concrete.implied",
        member=gettext_noop("concrete"),
        title=gettext_noop("Concrete that these constituents make, by absolute volumes"),
        unit="m³",
        formula=f"({' + '.join(terms)} + water / 1000) / (1 - air / 100)",
        inputs=inputs,
        method="absolute volumes; measure the yield of one batch to know it",
        source="derived: densities as stated beside them",
    )


def _line(item: Quantity) -> Input:
    return Input(item.net, item.unit, f"line {item.key}")
