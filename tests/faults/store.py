"""A store for a service under fire: made, and told of, by processes that are not the test's own."""

import json
from importlib import import_module

from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.db import connection
from django.db.models import Sum

from inventory.models import Receipt, Stock, StockSlip
from inventory.models.ledger import Movement
from inventory.services import rebuilding
from projects.models import IdempotencyKey, Outbox, Person
from tests.factories import inventory_stock as made

BAG = 50_000
BAGS = 10_000


def make():
    """Lay out a yard with 10,000 bags, let its site manager in; return what a phone must know, as JSON."""
    at = made.yard(shelf_days=None)
    made.receive(at, packs=BAGS)
    return json.dumps(
        {
            "site_id": at.cast.site.pk,
            "supplier_id": at.supplier.pk,
            "pour_id": at.pour.pk,
            "material_id": at.cement.material.pk,
            "pack_id": at.cement.pack.pk,
            "session": _session("bob"),
        }
    )


def tell():
    """Return what is on record, as JSON: documents by their keys, and whether all of it adds up."""
    done = IdempotencyKey.objects.filter(key__startswith="fire-")
    store = Stock.objects.filter(place__kind="store")
    return json.dumps(
        {
            "results": dict(done.values_list("key", "result_id")),
            "receipts": Receipt.objects.count() - 1,
            "slips": StockSlip.objects.count(),
            "movements": Movement.objects.count() - 1,
            "numbers": sorted(Receipt.objects.values_list("number", flat=True)),
            "bags": store.aggregate(all=Sum("quantity"))["all"] // BAG - BAGS,
            "differences": [str(row) for firm in rebuilding.firm_ids() for row in rebuilding.compare(firm)],
            "open_jobs": Outbox.objects.filter(done_at=None).count(),
            "failed_jobs": list(Outbox.objects.exclude(failed_at=None).values_list("last_error", flat=True)),
            "whole": _whole(),
        }
    )


def _session(username):
    person = Person.objects.get(username=username)
    session = import_module(settings.SESSION_ENGINE).SessionStore()
    session[SESSION_KEY] = str(person.pk)
    session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    session[HASH_SESSION_KEY] = person.get_session_auth_hash()
    session.create()
    return session.session_key


def _whole():
    """Whether the database's own check of its file finds nothing; PostgreSQL has none to ask for."""
    if connection.vendor != "sqlite":
        return True
    with connection.cursor() as cursor:
        return cursor.execute("PRAGMA integrity_check").fetchone() == ("ok",)
