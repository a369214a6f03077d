"""Expected loss by kind of material: stated on the sheet or taken from the profile, never bought twice."""

from collections.abc import Mapping
from typing import Final

from estimates.calc.derivation import Input
from estimates.calc.mix import methods
from estimates.calc.sheet.parts import DesignSheet
from estimates.standards.load import Profile

IN_THE_MIX: Final = frozenset({"cement", "sand", "stone", "water", "admixture"})
"""Kinds whose loss a dry-volume factor may hold already."""


def kinds(profile: Profile) -> tuple[str, ...]:
    """The kinds of material for which a profile has an allowance.

    Source: `allowance.<kind>` of the standards data.

    Args:
        profile: the standards profile.

    Returns:
        The kinds.

    >>> from estimates.standards import load
    >>> "cement" in kinds(load.profile("is"))
    True
    """
    return tuple(profile.group("allowance"))


def percent(kind: str, *, sheet: DesignSheet, profile: Profile) -> Input:
    """The allowance of a kind of material.

    Source: the sheet's `allowances`, taken as they stand; else `allowance.<kind>` of the standards data,
    lessened by what the dry-volume factor of a nominal mix holds already.

    Args:
        kind: kind of material, as "cement".
        sheet: the design sheet.
        profile: the standards profile.

    Returns:
        The allowance [% of net], 0 or more, with its source.

    Raises:
        StandardsError: the profile has no allowance for this kind.
    """
    stated: Mapping[str, float] = {str(name): value for name, value in sheet.allowances.items()}
    if kind in stated:
        return Input(stated[kind], "%", "design sheet: allowances")
    usual = profile.value(f"allowance.{kind}")
    held = methods.loss_held(sheet.mix, profile=profile) if kind in IN_THE_MIX else 0.0
    if held == 0 or usual.value == 0:
        return Input(usual.value, "%", usual.citation)
    left = usual.value - held if usual.value > held else 0.0
    source = (
        f"{usual.citation}: {usual.value:g} % less the {held:.2f} % that the mix's dry factor holds already"
    )
    return Input(left, "%", source)
