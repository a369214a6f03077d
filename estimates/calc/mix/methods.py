"""The named methods of nominal mixes: which there are, which one a mix follows, what loss it holds."""

from estimates.calc.sheet.mix import AnyMix, NominalVolumeMix
from estimates.standards.load import Profile, StandardsError


def method_name(mix: NominalVolumeMix, *, profile: Profile) -> str:
    """The named method of a nominal mix by volume: the sheet's, or the profile's own.

    Source: `mix.default_method` of the standards data.

    Args:
        mix: the mix of the drawing.
        profile: the standards profile.

    Returns:
        The id of the method, as "analysis_of_rates".

    Raises:
        ValueError: the method is not one of the profile's; the message names those that are.

    >>> from estimates.calc.sheet.mix import MixParts
    >>> from estimates.standards import load
    >>> m20 = NominalVolumeMix(kind="nominal_volume", parts=MixParts(1, 1.5, 3), water_cement=0.5,
    ...     stone_split={"20": 60, "10": 40})
    >>> method_name(m20, profile=load.profile("is"))
    'analysis_of_rates'
    """
    name = mix.method or profile.choice("mix.default_method").value
    known = methods(profile)
    if name not in known:
        message = f"mix method {name!r} is not known to profile {profile.id}; it has {', '.join(known)}"
        raise ValueError(message)
    return name


def methods(profile: Profile) -> tuple[str, ...]:
    """The named methods for nominal mixes by volume.

    Source: `mix.<method>.cement_density` of the standards data.

    Args:
        profile: the standards profile.

    Returns:
        Their ids, in alphabetical order.

    >>> from estimates.standards import load
    >>> methods(load.profile("is"))[:3]
    ('absolute_volumes', 'analysis_of_rates', 'dry_volume_152')
    """
    end = ".cement_density"
    return tuple(sorted(key.removesuffix(end) for key in profile.group("mix") if key.endswith(end)))


def by_dry_factor(name: str, *, profile: Profile) -> bool:
    """Whether a method multiplies by a dry-volume factor; the other kind adds up absolute volumes.

    Source: derived: the method has a `dry_factor` in the standards data.

    Args:
        name: the id of the method.
        profile: the standards profile.

    Returns:
        True for a dry-volume factor.

    >>> from estimates.standards import load
    >>> by_dry_factor("absolute_volumes", profile=load.profile("is"))
    False
    """
    return f"mix.{name}.dry_factor" in profile.values


def rows(profile: Profile) -> tuple[str, ...]:
    """The rows of the profile's table of nominal mixes by mass.

    Source: `mass_mix.<row>` of the standards data: IS 456 table 9, the standardised prescribed mixes, the
    small-job table, as the profile has them.

    Args:
        profile: the standards profile.

    Returns:
        Their ids, in alphabetical order; none when the profile has no such table.

    >>> from estimates.standards import load
    >>> rows(load.profile("is"))
    ('m10', 'm15', 'm20', 'm5', 'm7_5')
    """
    return tuple(sorted({key.split(".", maxsplit=1)[0] for key in profile.group("mass_mix")}))


def loss_held(mix: AnyMix, *, profile: Profile) -> float:
    """Loss that the dry-volume factor of a nominal mix holds already.

    Source: derived: factor ÷ `mix_loss.factor_without_loss` − 1. Dry over wet volume is about 1.50; a page
    that explains 1.52 calls the rest waste.

    Args:
        mix: the mix of the drawing.
        profile: the standards profile.

    Returns:
        The loss [%], 0 for a mix by mass, a designed one, and one by absolute volumes.

    Raises:
        ValueError: the method is not one of the profile's.

    >>> from estimates.calc.sheet.mix import MixParts
    >>> from estimates.standards import load
    >>> m20 = NominalVolumeMix(kind="nominal_volume", parts=MixParts(1, 1.5, 3), water_cement=0.5,
    ...     stone_split={"20": 60, "10": 40}, method="dry_volume_152")
    >>> round(loss_held(m20, profile=load.profile("is")), 2)
    1.33
    """
    if not isinstance(mix, NominalVolumeMix):
        return 0.0
    name = method_name(mix, profile=profile)
    if not by_dry_factor(name, profile=profile):
        return 0.0
    factor = profile.number(f"mix.{name}.dry_factor")
    without = profile.number("mix_loss.factor_without_loss")
    if factor < without:
        message = f"dry factor {factor} is below {without}, the ratio of dry to wet volume without any loss"
        raise StandardsError(message)
    return (factor / without - 1) * 100
