"""What a slab has cost and will cost, in minor units, adding up exactly from material to total."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields
from fractions import Fraction

from inventory.calc import bill_match, money, variances
from inventory.calc.costing import EMPTY, Pool


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """The money and the quantities on record for one material of one slab.

    Args:
        material: code of the material.
        budget: minor units of the frozen bill, (net + allowance) x rate; 0 for a material not in the bill.
        allowed: stock units of the bill, net and allowance together.
        rate: estimate rate of the bill, 1/10,000 minor units per unit of trade; None when not in the bill.
        per: stock units in one unit of trade.
        used: stock units used: issued less returned, and waste straight from the store.
        to_use: stock units that its pours have still to use; None takes what the bill allows less `used`.
        issued_value: minor units of issues less returns.
        wasted_value: minor units of waste straight from the store.
        adjusted_value: minor units of price differences found after the issue, of any sign.
        received_value: minor units taken in against this slab's orders.
        open_order: what is ordered for this slab and still to come, with its value.
        spare_order: what comes to the site for nobody, or for who needs it no more, with its value.
        on_hand: what the store holds, free for this slab, with its value.
        billed: minor units of suppliers' accepted bills for this slab, tax and freight as printed.
        paid: minor units paid on them.
        finished: whether the slab is cast and nothing more will be used.
    """

    material: str
    budget: int
    allowed: int
    rate: int | None
    per: int | Fraction
    used: int = 0
    to_use: int | None = None
    issued_value: int = 0
    wasted_value: int = 0
    adjusted_value: int = 0
    received_value: int = 0
    open_order: Pool = EMPTY
    spare_order: Pool = EMPTY
    on_hand: Pool = EMPTY
    billed: int = 0
    paid: int = 0
    finished: bool = False

    def __post_init__(self) -> None:
        if self.rate is None and (self.allowed or self.budget):
            raise ValueError(f"{self.material}: a budget of {self.budget} for {self.allowed} needs its rate")
        for name in ("allowed", "used", "remaining"):
            if getattr(self, name) < 0:
                raise ValueError(f"{self.material}: {name} {getattr(self, name)} must be 0 or more")

    @property
    def remaining(self) -> int:
        """What is still to be used, in stock units; nothing more than is allowed when no pour says."""
        if self.to_use is not None:
            return self.to_use
        return self.allowed - self.used if self.used < self.allowed else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Amounts:
    """Spend in minor units; budget + usage variance + price variance = forecast, always.

    Args:
        budget: planned.
        committed: value of open orders not yet received, and of hire still planned.
        received: value taken in for this slab, stock until it is used; hire so far.
        billed: suppliers' accepted bills for this slab, tax and freight as printed.
        paid: what was paid on them.
        used: cost so far: issues less returns, waste and later price differences.
        to_come: what the rest will cost.
        forecast: used and to come.
        usage_variance: part of forecast less budget that comes from quantity, at the estimate price.
        price_variance: part of forecast less budget that comes from price.
    """

    budget: int = 0
    committed: int = 0
    received: int = 0
    billed: int = 0
    paid: int = 0
    used: int = 0
    to_come: int = 0
    forecast: int = 0
    usage_variance: int = 0
    price_variance: int = 0

    @property
    def over_budget(self) -> int:
        """Forecast less budget, in minor units; above 0 when dearer."""
        return self.forecast - self.budget


@dataclass(frozen=True, slots=True, kw_only=True)
class Papers:
    """What suppliers have billed and been paid, in minor units; a credit note is below 0."""

    billed: int = 0
    paid: int = 0


def share_bill(total: int, *, paid: int, landed: Sequence[int]) -> list[Papers]:
    """Share a bill's total and what was paid on it among its lines.

    By what each line costs landed, that is with freight and the tax that is not recovered; a bill of nothing
    but tax or freight is shared evenly. Every part adds up to the minor unit.
    Source: derived: proportional shares; running totals rounded half to even.

    Args:
        total: minor units as printed; below 0 for a credit note.
        paid: minor units paid on it, 0 or more.
        landed: minor units of each line, 0 or more, at least one line.

    Returns:
        Billed and paid for each line.

    Raises:
        ValueError: there is no line, or one below 0.

    >>> [(part.billed, part.paid) for part in share_bill(1_180, paid=500, landed=[600, 400])]
    [(708, 300), (472, 200)]
    """
    weights = landed if any(landed) else [1] * len(landed)
    billed = bill_match.spread(total, weights=weights)
    parts = bill_match.spread(paid, weights=weights)
    return [Papers(billed=one, paid=part) for one, part in zip(billed, parts, strict=True)]


def papers_total(rows: Iterable[Papers]) -> Papers:
    """Add up what was billed and paid.

    Source: derived: sum.

    Args:
        rows: papers in one currency.

    Returns:
        Their sums, in minor units.

    >>> papers_total([Papers(billed=3, paid=1), Papers(billed=-1)])
    Papers(billed=2, paid=1)
    """
    listed = tuple(rows)
    return Papers(billed=sum(row.billed for row in listed), paid=sum(row.paid for row in listed))


def still_to_come(remaining: int, *, sources: Iterable[Pool], rate: int, per: int | Fraction) -> int:
    """Value what is still to be used: from each source in turn, the rest at the estimate rate.

    Source: derived: each part at the price that it has or will have.

    Args:
        remaining: stock units still to be used, 0 or more.
        sources: what the store holds free for this slab, what is ordered for it, what else is on order.
        rate: estimate rate, 1/10,000 minor units per unit of trade.
        per: stock units in one unit of trade.

    Returns:
        Minor units.

    Raises:
        ValueError: the remaining quantity is negative.

    10 more bags, 4 of them in the store at 8.50, 2 on order at 9.00, 4 to be ordered, estimated at 8.00:

    >>> still_to_come(10, sources=(Pool(4, 3_400), Pool(2, 1_800)), rate=8_000_000, per=1)
    8400
    """
    if remaining < 0:
        raise ValueError(f"remaining quantity {remaining} must be 0 or more")
    total = 0
    for pool in sources:
        taken = min(remaining, pool.quantity)
        if taken:
            total += money.half_even(pool.value * taken, denominator=pool.quantity)
        remaining -= taken
    return total + money.amount(remaining, rate=rate, per=per)


def amounts(facts: Facts) -> Amounts:
    """Work out the spend of one material of one slab.

    While the slab is not finished, the forecast quantity is what was used and what its pours have still to
    use; afterwards it is what was used. The variances are those of the forecast, and so of the use once
    it is finished. A material that the bill does not know has no estimate price: all of its cost is usage.
    Source: common practice (cost report: budget, committed, incurred, forecast; usage and price variance).

    Args:
        facts: the record.

    Returns:
        The amounts, in minor units.

    >>> bags = Facts(material="cement", budget=80_000, allowed=100, rate=8_000_000, per=1, used=108,
    ...              issued_value=91_800, finished=True)
    >>> result = amounts(bags)
    >>> (result.usage_variance, result.price_variance, result.forecast)
    (6400, 5400, 91800)
    """
    used = facts.issued_value + facts.wasted_value + facts.adjusted_value
    remaining = 0 if facts.finished else facts.remaining
    sources = (facts.on_hand, facts.open_order, facts.spare_order)
    to_come = still_to_come(remaining, sources=sources, rate=facts.rate or 0, per=facts.per)
    split = variances.Split(usage=used + to_come, price=0)
    if facts.rate is not None:
        split = variances.split(
            used + to_come, used=facts.used + remaining, budget=facts.budget, rate=facts.rate, per=facts.per
        )
    return Amounts(
        budget=facts.budget,
        committed=facts.open_order.value,
        received=facts.received_value,
        billed=facts.billed,
        paid=facts.paid,
        used=used,
        to_come=to_come,
        forecast=used + to_come,
        usage_variance=split.usage,
        price_variance=split.price,
    )


def total(rows: Iterable[Amounts]) -> Amounts:
    """Add up spend column by column.

    Source: derived: sum.

    Args:
        rows: amounts of materials, slabs or sites, in one currency.

    Returns:
        Their sums, in minor units.

    >>> total([Amounts(budget=3, forecast=5, usage_variance=2), Amounts(budget=1, forecast=1)]).over_budget
    2
    """
    listed = tuple(rows)
    return Amounts(
        **{field.name: sum(getattr(row, field.name) for row in listed) for field in fields(Amounts)}
    )


def per_measure(value: int, *, measured: int, per: int) -> Fraction:
    """Spread an amount over a measure of the slab, exactly: cost per m2 of slab or per m3 of concrete.

    Source: derived: amount / (measured / per).

    Args:
        value: minor units, of any sign.
        measured: area in cm2 or volume in cm3, above 0.
        per: cm2 in one m2 (10,000) or cm3 in one m3 (1,000,000).

    Returns:
        Minor units per m2 or m3; round it only where it is shown.

    Raises:
        ValueError: the measure is not above 0.

    >>> per_measure(1_000_000, measured=1_200_000, per=10_000)
    Fraction(25000, 3)
    """
    if measured <= 0:
        raise ValueError(f"measured {measured} must be above 0")
    return Fraction(value * per, measured)
