"""A new bill against what was bought for the old one: what to cut back, and what lies here too much."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """What was bought for a slab of one material, in stock units, 0 or more.

    Args:
        allowed: what the new bill allows, 0 when it no longer asks for the material.
        received: taken in against the orders of this slab.
        open_order: ordered for this slab and still to come.
        pack: content of the pack in which it is bought; less than a pack too much is rounding.
    """

    allowed: int
    received: int
    open_order: int
    pack: int

    def __post_init__(self) -> None:
        for name in ("allowed", "received", "open_order"):
            if getattr(self, name) < 0:
                raise ValueError(f"{name} {getattr(self, name)} must be 0 or more")
        if self.pack <= 0:
            raise ValueError(f"a pack of {self.pack} must hold more than 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class Touched:
    """What no longer fits, in stock units: to take off open orders, here already, still to buy."""

    cut_back: int
    here_too_much: int
    to_buy: int

    @property
    def fits(self) -> bool:
        """Whether nothing has to be done about what was bought."""
        return not (self.cut_back or self.here_too_much or self.to_buy)


def touched(bought: Bought) -> Touched:
    """Tell which part of what was bought for a slab a new bill leaves without use, and what it still lacks.

    Source: derived: too much = received + open - allowed; it is taken off open orders first, in whole packs.
    Less than a pack is the rounding of an order and no finding.

    Args:
        bought: the facts.

    Returns:
        What to do, in stock units.

    100 bags allowed now; 60 came, 60 are on the road: 20 can still be stopped.

    >>> touched(Bought(allowed=100, received=60, open_order=60, pack=1))
    Touched(cut_back=20, here_too_much=0, to_buy=0)
    """
    too_much = bought.received + bought.open_order - bought.allowed
    if too_much < 0:
        return Touched(cut_back=0, here_too_much=0, to_buy=-too_much)
    packs = min(too_much, bought.open_order) // bought.pack
    here = max(bought.received - bought.allowed, 0)
    return Touched(cut_back=packs * bought.pack, here_too_much=here if here >= bought.pack else 0, to_buy=0)
