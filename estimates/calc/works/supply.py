"""Ready-mixed concrete in place of concrete mixed on site: what is ordered, and in how many trucks."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from estimates.calc.derivation import Input, Quantity, cited
from estimates.calc.sheet.works import Supply
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile


def stated_only(constituents: Iterable[Quantity]) -> Iterator[Quantity]:
    """The constituents as information: ready-mixed concrete is bought in their place.

    Source: derived: nothing is bought twice.

    Args:
        constituents: the lines of the mix.

    Yields:
        The same lines, not bought.
    """
    for item in constituents:
        yield replace(item, material=None, kind=None)


def ready_mixed(concrete: Input) -> Quantity:
    """Ready-mixed concrete to buy.

    Source: derived: the net concrete; expected loss and rounding to the pack stay apart.

    Args:
        concrete: net concrete [m³].

    Returns:
        `ready_mixed.concrete` [m³].

    >>> ready_mixed(Input(12.5, "m³", "by hand")).net
    12.5
    """
    return Quantity(
        key="ready_mixed.concrete",
        member=gettext_noop("concrete"),
        title=gettext_noop("Ready-mixed concrete"),
        unit="m³",
        formula="concrete",
        inputs={"concrete": concrete},
        method="net concrete, bought ready-mixed",
        source="derived: net concrete",
        material="ready-mixed",
        kind="ready-mixed",
    )


def loads(concrete: Input, *, supply: Supply | None, loss: Input, profile: Profile) -> Quantity:
    """How many trucks the concrete comes in.

    Source: derived: concrete and its expected loss over what a truck carries, rounded up. The truck is the
    sheet's, else `truck.ready_mixed` of the standards data.

    Args:
        concrete: net concrete [m³].
        supply: the sheet's supply.
        loss: expected loss [%].
        profile: the standards profile.

    Returns:
        `ready_mixed.loads` [no.].

    >>> from estimates.standards import load
    >>> six = Supply(kind="ready_mixed", truck_m3=6.0)
    >>> loss = Input(2.0, "%", "by hand")
    >>> loads(Input(12.5, "m³", "by hand"), supply=six, loss=loss, profile=load.profile("is")).net
    3.0
    """
    truck = cited(profile.value("truck.ready_mixed"))
    if supply is not None and supply.truck_m3 is not None:
        truck = Input(supply.truck_m3, "m³", "design sheet: supply")
    return Quantity(
        key="ready_mixed.loads",
        member=gettext_noop("concrete"),
        title=gettext_noop("Truck loads of ready-mixed concrete"),
        unit="no.",
        formula="ceil(concrete * (1 + loss / 100) / truck)",
        inputs={"concrete": concrete, "loss": loss, "truck": truck},
        method="net and expected loss over one truck, rounded up",
        source=truck.source,
    )
