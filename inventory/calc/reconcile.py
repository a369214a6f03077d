"""One slab, one material: what the drawing asks for against what really happened."""

from dataclasses import dataclass
from enum import StrEnum

from inventory.calc import variances
from inventory.calc.variances import Finding, PermittedVariation


class Status(StrEnum):
    """The one word that a row shows: is there enough, too little, and was more or less used than designed."""

    ENOUGH = "enough"
    SHORT = "short"
    OVER = "over"
    UNDER = "under"


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What is on record for one material of one slab, all in stock units and 0 or more.

    Args:
        material: code of the material; bars have one per size and grade, and are compared size by size.
        net: quantity of the drawing.
        allowance: expected loss, kept apart from the net quantity.
        ordered: ordered for this slab and not cancelled.
        received: taken in against those orders (found good, not what the note says).
        rejected: refused at receipt.
        open_order: ordered and still to come.
        spare_order: still to come to the site, ordered for nobody or for who needs it no more.
        issued: from the store to the slab.
        returned: from the slab back to the store.
        wasted_from_store: wasted for this slab without having been issued to it.
        wasted_from_slab: wasted out of what was issued to the slab.
        on_hand: usable in the store and free for this slab now, whatever order it came from.
        needed: what the pours to come must still get; None takes what is designed less what was used.
        finished: whether the slab is cast and its last return recorded; before that, use below the design
            is no finding, and after it, nothing can be short.
    """

    material: str
    net: int
    allowance: int = 0
    ordered: int = 0
    received: int = 0
    rejected: int = 0
    open_order: int = 0
    spare_order: int = 0
    issued: int = 0
    returned: int = 0
    wasted_from_store: int = 0
    wasted_from_slab: int = 0
    on_hand: int = 0
    needed: int | None = None
    finished: bool = False

    def __post_init__(self) -> None:
        for name in _QUANTITIES:
            if (getattr(self, name) or 0) < 0:
                raise ValueError(f"{self.material}: {name} {getattr(self, name)} must be 0 or more")
        if self.returned + self.wasted_from_slab > self.issued:
            raise ValueError(
                f"{self.material}: returned {self.returned} and wasted {self.wasted_from_slab} "
                f"are more than the {self.issued} issued"
            )


_QUANTITIES = tuple(name for name in Facts.__dataclass_fields__ if name not in {"material", "finished"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """The comparison of one material, all in stock units.

    Args:
        facts: the figures that it rests on.
        designed: net and allowance together, what the bill allows.
        used: issued less returned, and waste straight from the store.
        wasted: recorded waste, a part of `used`.
        cast: what is left of `used` without the waste.
        left: received for this slab less used; below 0 when it also used other stock.
        overuse: used less designed; below 0 when less was used.
        shortage: still needed less on hand and open orders, 0 when covered or finished.
        status: enough, short, over or under.
    """

    facts: Facts
    designed: int
    used: int
    wasted: int
    cast: int
    left: int
    overuse: int
    shortage: int
    status: Status


def compare(facts: Facts, *, variation: PermittedVariation) -> Row:
    """Compare one material of one slab with its design.

    Source: derived: overuse = used - designed; shortage = needed - (on hand + open orders), where needed is
    designed - used unless the pours say otherwise, and what was received and not used is on hand, so that no
    receipt covers twice; permitted variation as given.

    Args:
        facts: the record, in stock units.
        variation: the permitted variation of this material, with its source.

    Returns:
        The row, in stock units.

    >>> two_percent = PermittedVariation(over_bp=200, under_bp=200, source="contract")
    >>> cast = Facts(material="cement", net=980, allowance=20, issued=1_060, finished=True)
    >>> row = compare(cast, variation=two_percent)
    >>> (row.overuse, str(row.status))
    (60, 'over')
    """
    designed = facts.net + facts.allowance
    used = facts.issued - facts.returned + facts.wasted_from_store
    wasted = facts.wasted_from_store + facts.wasted_from_slab
    needed = designed - used if facts.needed is None else facts.needed
    uncovered = needed - (facts.on_hand + facts.open_order + facts.spare_order)
    shortage = uncovered if uncovered > 0 and not facts.finished else 0
    finding = variances.judge(used, allowed=designed, variation=variation)
    return Row(
        facts=facts,
        designed=designed,
        used=used,
        wasted=wasted,
        cast=used - wasted,
        left=facts.received - used,
        overuse=used - designed,
        shortage=shortage,
        status=_status(finding, shortage=shortage, finished=facts.finished),
    )


def _status(finding: Finding, *, shortage: int, finished: bool) -> Status:
    if finding is Finding.OVER:
        return Status.OVER
    if finding is Finding.UNDER and finished:
        return Status.UNDER
    return Status.SHORT if shortage else Status.ENOUGH
