"""How late a supplier comes and how much of a load: its record, leaning on the firm's where it is short."""

from collections.abc import Sequence
from dataclasses import dataclass

LEAST_SEEN = 5
"""Deliveries below which a supplier's own record is not called known; and the weight of the firm's record."""

SHARE_STEPS = 20
"""Shares of a load are told apart by twentieths, rounded down."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """One delivery of the past: working days late (early counts as 0) and the share of the load that came."""

    late_days: int
    share: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """How a supplier's deliveries come.

    Args:
        late: probability of each number of working days late, from 0 on; they add up to 1.
        shares: probability of each share of a load, (share, probability), with rising share.
        seen: the supplier's own deliveries behind it.
        pooled: deliveries of the firm behind it.
    """

    late: tuple[float, ...] = (1.0,)
    shares: tuple[tuple[float, float], ...] = ((1.0, 1.0),)
    seen: int = 0
    pooled: int = 0

    @property
    def known(self) -> bool:
        """Whether the supplier's own deliveries are enough to speak of its record."""
        return self.seen >= LEAST_SEEN

    def on_time(self, slack_days: int) -> float:
        """The probability of coming at most so many working days late."""
        return min(1.0, sum(self.late[: slack_days + 1])) if slack_days >= 0 else 0.0


NO_RECORD = Record()
"""Nothing delivered yet by anybody: the supplier's word."""


def record(own: Sequence[Delivery], *, firm: Sequence[Delivery]) -> Record:
    """Draw a supplier's record from its deliveries, with the firm's as if it were five deliveries more.

    Source: derived: mean of the posterior of a multinomial under a Dirichlet prior that is the firm's record;
    the few are so pulled to the mean of the many (Efron & Morris 1977, Scientific American 236(5)).

    Args:
        own: the supplier's deliveries.
        firm: all deliveries of the firm, the supplier's among them.

    Returns:
        Probabilities of days late and of shares of a load.

    One delivery three days late, beside nine of others that were on time, is no one in one:

    >>> late, prompt = Delivery(late_days=3), Delivery(late_days=0)
    >>> [round(chance, 3) for chance in record([late], firm=[late] + [prompt] * 9).late]
    [0.75, 0.0, 0.0, 0.25]
    """
    if not firm:
        return NO_RECORD
    weight = len(own) + LEAST_SEEN

    def mixed(mine: int, all_: int) -> float:
        return (mine + LEAST_SEEN * all_ / len(firm)) / weight

    days = [max(0, one.late_days) for one in own]
    firm_days = [max(0, one.late_days) for one in firm]
    late = tuple(mixed(days.count(d), firm_days.count(d)) for d in range(max(firm_days + days) + 1))
    parts, firm_parts = [_step(one.share) for one in own], [_step(one.share) for one in firm]
    shares = tuple(
        (step / SHARE_STEPS, mixed(parts.count(step), firm_parts.count(step)))
        for step in sorted(set(parts) | set(firm_parts))
    )
    return Record(late=late, shares=shares, seen=len(own), pooled=len(firm))


def buffer_days(record: Record, *, service: float) -> int:
    """Tell by how many working days an order is to be earlier, so that it is there in time often enough.

    Source: derived: for a dated need the lead-time risk is a time buffer, the quantile of the days late.

    Args:
        record: how the supplier comes.
        service: probability asked for, 0 to below 1.

    Returns:
        Working days, at most the latest seen.

    >>> buffer_days(Record(late=(0.8, 0.15, 0.05)), service=0.9)
    1
    """
    running = 0.0
    for days, chance in enumerate(record.late):
        running += chance
        if running >= service - 1e-12:
            return days
    return len(record.late) - 1


def _step(share: float) -> int:
    return min(SHARE_STEPS, max(0, int(share * SHARE_STEPS + 1e-9)))
