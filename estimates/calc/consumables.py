"""Binding wire, curing water and curing cover: what follows from steel mass and slab area."""

from typing import Final

from estimates.calc.derivation import Input, Quantity, cited
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile

_TOP: Final = gettext_noop("top of the slab")


def binding_wire(steel_mass: Input, *, profile: Profile) -> Quantity:
    """Soft wire to tie the bars.

    Source: `binding_wire.per_tonne` of the standards data; 8 to 13 kg/t are met.

    Args:
        steel_mass: net mass of all bars [kg].
        profile: the standards profile.

    Returns:
        `steel.binding_wire` [kg].

    >>> from estimates.standards import load
    >>> binding_wire(Input(1500, "kg", "by hand"), profile=load.profile("is")).net
    15.0
    """
    rate = profile.value("binding_wire.per_tonne")
    return Quantity(
        key="steel.binding_wire",
        member="",
        title=gettext_noop("Binding wire"),
        unit="kg",
        formula="steel_mass / 1000 * per_tonne",
        inputs={"steel_mass": steel_mass, "per_tonne": cited(rate)},
        method="by mass of steel",
        source=rate.citation,
        material="binding-wire",
        kind="binding-wire",
    )
