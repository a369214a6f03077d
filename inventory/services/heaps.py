"""Heaps: material that nobody weighs out, so that its use is what is missing when the heap is measured."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime

from django.db.models import Max, Sum

from estimates.models import Bill, BillLine
from inventory.models import StockCount, StockCountLine
from projects.models import Pour, Site

PPM = 1_000_000


def pours_between(
    site: Site, *, material_ids: Iterable[int], happened_at: datetime, closing: Pour | None = None
) -> dict[int, list[Pour]]:
    """Return, by material, the open pours placed since the material was last counted on the site.

    The pour that is being closed stands in when there is none.
    """
    ids = list(material_ids)
    last = dict(
        StockCountLine.objects.filter(
            count__site=site, count__state=StockCount.State.POSTED, material_id__in=ids
        )
        .values_list("material_id")
        .annotate(at=Max("count__happened_at"))
        .order_by("material_id")
    )
    placed = list(
        Pour.objects.filter(slab__site=site, state=Pour.State.POURED, poured_at__lte=happened_at)
        .select_for_update(of=("self",), no_key=True)
        .select_related("slab__site")
        .order_by("pk")
    )
    between = {}
    for material_id in ids:
        since = last.get(material_id)
        fresh = [pour for pour in placed if since is None or (pour.poured_at or since) > since]
        between[material_id] = fresh or ([closing] if closing else [])
    return between


def theoretical(pours: Iterable[Pour], *, material_ids: Iterable[int]) -> dict[int, dict[int, int]]:
    """Return, by material and pour, the net stock units of the issued bill that fall to the pour."""
    by_slab = _net_by_slab({pour.slab_id for pour in pours}, material_ids=material_ids)
    found: dict[int, dict[int, int]] = defaultdict(dict)
    for (slab_id, material_id), net in by_slab.items():
        for pour in pours:
            if pour.slab_id == slab_id:
                found[material_id][pour.pk] = net * pour.share_ppm // PPM
    return found


def weights(pours: list[Pour], *, by_pour: dict[int, int]) -> dict[int, int]:
    """Return by pour what use is shared by: the bill's net, or the pours' shares when no bill says."""
    known = {pour.pk: by_pour.get(pour.pk, 0) for pour in pours}
    return known if any(known.values()) else {pour.pk: pour.share_ppm for pour in pours}


def _net_by_slab(slab_ids: set[int], *, material_ids: Iterable[int]) -> dict[tuple[int, int], int]:
    rows = (
        BillLine.objects.filter(
            bill__state=Bill.State.ISSUED, bill__design__slab__in=slab_ids, material_id__in=list(material_ids)
        )
        .values_list("bill__design__slab_id", "material_id")
        .annotate(total=Sum("net"))
        .order_by("bill__design__slab_id", "material_id")
    )
    return {(slab_id, material_id): total for slab_id, material_id, total in rows}
