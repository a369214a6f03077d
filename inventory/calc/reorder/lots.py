"""From a net requirement to what can be bought: whole packs, and not less than the supplier's minimum."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """How a material is sold.

    Args:
        content: stock units in one pack (a bag, a bar, a load), above 0; 1 when any quantity is sold.
        minimum: least stock units in one order, 0 when there is no minimum.
        name: what the pack is called, empty when any quantity is sold.
    """

    content: int = 1
    minimum: int = 0
    name: str = ""

    def __post_init__(self) -> None:
        if self.content <= 0:
            raise ValueError(f"content {self.content} of a pack must be above 0")
        if self.minimum < 0:
            raise ValueError(f"minimum quantity {self.minimum} must be 0 or more")


LOOSE = Pack()
"""Any quantity can be bought."""


def packs_for(net: int, *, pack: Pack) -> int:
    """Tell how many packs cover a net requirement, rounded up; nothing is needed, nothing is bought.

    Source: derived: ceil(max(net, minimum) / content).

    Args:
        net: stock units required, 0 or more.
        pack: how the material is sold.

    Returns:
        Whole packs, 0 when the net requirement is 0.

    Raises:
        ValueError: the net requirement is negative.

    20.1 kg and 8,120 kg of cement in bags of 50 kg:

    >>> [packs_for(grams, pack=Pack(content=50_000)) for grams in (0, 20_100, 8_120_000)]
    [0, 1, 163]
    """
    if net < 0:
        raise ValueError(f"net requirement {net} must be 0 or more")
    if net == 0:
        return 0
    return -(-max(net, pack.minimum) // pack.content)


def divide_packs(nets: Sequence[int], *, pack: Pack) -> tuple[int, ...]:
    """Divide one day's packs among the needs of that day, in order, as if bought in one order.

    Each need gets the packs that have to be opened for it; what is left in a pack serves the next need, and
    the last need with a net requirement takes what the minimum adds.
    Source: derived: differences of the packs for the running sum.

    Args:
        nets: net requirements of the day in stock units, each 0 or more, in order.
        pack: how the material is sold.

    Returns:
        Packs per need, adding up to `packs_for(sum(nets))`.

    Raises:
        ValueError: a net requirement is negative.

    >>> divide_packs([30, 10, 20], pack=Pack(content=50))
    (1, 0, 1)
    >>> divide_packs([30, 0], pack=Pack(content=50, minimum=500))
    (10, 0)
    """
    by_content = Pack(content=pack.content)
    running = 0
    given = 0
    parts = []
    for net in nets:
        if net < 0:
            raise ValueError(f"net requirement {net} must be 0 or more")
        running += net
        parts.append(packs_for(running, pack=by_content) - given)
        given += parts[-1]
    extra = packs_for(running, pack=pack) - given
    if extra:
        last = max(index for index, net in enumerate(nets) if net)
        parts[last] += extra
    return tuple(parts)
