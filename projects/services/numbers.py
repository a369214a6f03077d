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
    row, _created = Counter.objects.get_or_create(firm_id=firm_id, kind=kind, year=year)
    Counter.objects.filter(pk=row.pk).update(last=F("last") + 1)
    row.refresh_from_db(fields=["last"])
    return f"{kind}-{year}-{row.last:04d}"
