"""Places of the ledger, made when they are first needed."""

from __future__ import annotations

from inventory.models import Place
from projects.models import Site, Slab


def store(site: Site) -> Place:
    """Return the store of a site: its yard."""
    return of_site(site, kind=Place.Kind.STORE)


def of_site(site: Site, *, kind: Place.Kind) -> Place:
    """Return a site's place of this kind: where deliveries come from, waste goes to, and so on."""
    place, _made = Place.objects.get_or_create(
        site=site, kind=kind, slab=None, defaults={"firm_id": site.firm_id}
    )
    return place


def slab(of: Slab) -> Place:
    """Return the place that a slab is: what was issued to it lies there."""
    place, _made = Place.objects.get_or_create(
        slab=of,
        kind=Place.Kind.SLAB,
        defaults={"firm_id": of.site.firm_id, "site_id": of.site_id},
    )
    return place
