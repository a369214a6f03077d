"""Running numbers of a firm's documents."""

from __future__ import annotations

from datetime import datetime

from django.db.models import F

from projects.models import Counter


def next_number(*, firm_id: int, kind: str, now: datetime) -> str:
    """Return the firm's next number of a kind, such as PO-2026-0001; made under the act's transaction.

    The counter row serialises two acts at once, so that numbers are unique and without gaps.
    """
    year = now.year
    counter = Counter.objects.filter(firm_id=firm_id, kind=kind, year=year)
    if not counter.update(last=F("last") + 1):
        Counter.objects.get_or_create(firm_id=firm_id, kind=kind, year=year)
        counter.update(last=F("last") + 1)
    return f"{kind}-{year}-{counter.values_list('last', flat=True).get():04d}"
