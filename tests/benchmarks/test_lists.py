"""Lists of 50 movements among very many, beside the same rows through `.values()` and JsonResponse.

Both sides are whole requests of a signed-in person through all the middleware. The bare side is told the
numbers of its rows, so that it has nothing to search. Data may cost at most 3 times as much; the pages are
rendered HTML and reported beside it. Query counts and plans are asserted in any size, times only with --full.
"""

from __future__ import annotations

import pytest
from django.db import connection
from django.db.models import Sum
from django.http import JsonResponse
from django.test import Client, override_settings
from django.test.utils import CaptureQueriesContext
from django.urls import path

from deploy import urls
from inventory.models.ledger import Movement
from inventory.queries import movements
from inventory.queries.movements import Question
from projects.models import Person
from tests.benchmarks import books, report

pytestmark = [pytest.mark.django_db, pytest.mark.data, pytest.mark.long]

ROWS = 50
DATA_RATIO = 3
COLUMNS = (
    "pk",
    "material_id",
    "material__code",
    "material__name",
    "material__stock_unit",
    "material__show_factor",
    "material__show_unit",
    "source_id",
    "source__kind",
    "source__site_id",
    "source__site__name",
    "source__slab_id",
    "source__slab__name",
    "target_id",
    "target__kind",
    "target__site_id",
    "target__site__name",
    "target__slab_id",
    "target__slab__name",
    "quantity",
    "value_minor",
    "reason",
    "lot_id",
    "pour_id",
    "pour__name",
    "pour__slab_id",
    "pour__slab__name",
    "happened_at",
    "recorded_at",
    "recorded_by_id",
    "recorded_by__name",
    "reverses_id",
)
"""Everything that the API's list of movements tells."""


def bare_rows(request):
    """The rows that are asked for, and the sums of an end where one is named, as the ledger has two."""
    rows = Movement.objects.filter(pk__in=request.GET.getlist("pk")).order_by("-recorded_at", "-pk")
    found = {"rows": list(rows.values(*COLUMNS))}
    for end in ("source", "target"):
        if end in request.GET:
            of_end = Movement.objects.filter(**{end: request.GET[end], "material": request.GET["material"]})
            found[end] = of_end.aggregate(quantity=Sum("quantity"), value=Sum("value_minor"))
    return JsonResponse(found)


urlpatterns = [*urls.urlpatterns, path("bare/", bare_rows)]


@pytest.mark.parametrize("many", [100_000, 1_000_000])
@override_settings(ROOT_URLCONF=__name__)
def test_lists_among_many_movements(many, full_size, capsys, record_property):
    at = books.written(many if full_size else many // 100)
    client = Client()
    client.force_login(Person.objects.get(username="alice"))

    def fetch(address):
        answer = client.get(address)
        assert answer.status_code == 200, address
        return answer

    addresses = _addresses(at)
    counted = {}
    for name, address in addresses.items():
        with CaptureQueriesContext(connection) as seen:
            fetch(address)
        counted[name] = len(seen)
    works = {name: (lambda address=address: fetch(address)) for name, address in addresses.items()}
    times = report.beside(works, rounds=40 if full_size else 10)
    ratios = {name: spent / times[f"{name.split(',')[0]}, bare"] for name, spent in times.items()}
    figures = {
        name: f"{spent:7.2f} ms  {ratios[name]:5.2f} x  {counted[name]:2} queries"
        for name, spent in times.items()
    }
    title = f"{Movement.objects.count()} movements, {connection.vendor}"
    report.show(capsys, record_property, title=title, figures=figures)
    assert {name: counted[name] for name in QUERIES} == QUERIES
    if full_size:
        assert max(ratios["movements, API"], ratios["ledger, API"]) <= DATA_RATIO


QUERIES = {
    "movements, API": 10,
    "movements, page": 15,
    "ledger, API": 15,
    "ledger, page": 15,
    "movements, store page": 18,
}
"""Four of each are the session, the person, the memberships and their sites."""


def _addresses(at):
    people = at.at.cast
    site, place, material = people.site.pk, at.store.pk, at.goods[0].material.pk
    question = Question(place_id=place, material_id=material)
    of_site = [row.pk for row in movements.latest(people.alice, site_id=site).rows]
    of_place = [entry.movement.pk for entry in movements.ledger(people.alice, question=question).entries]
    assert (len(of_site), len(of_place)) == (ROWS, ROWS)
    sums = f"&source={place}&target={place}&material={material}"
    return {
        "movements, bare": "/bare/?" + "&".join(f"pk={pk}" for pk in of_site),
        "movements, API": f"/api/v1/sites/{site}/movements/",
        "movements, page": f"/stores/{site}/movements/",
        "movements, store page": f"/stores/{site}/",
        "ledger, bare": "/bare/?" + "&".join(f"pk={pk}" for pk in of_place) + sums,
        "ledger, API": f"/api/v1/places/{place}/ledger/?material_id={material}",
        "ledger, page": f"/stores/ledger/{place}/{material}/",
    }


def test_lists_find_their_rows_by_an_index(full_size):
    """At a busy site, at one where nothing has moved, and on a page far down."""
    at = books.written(100_000 if full_size else 10_000)
    people = at.at.cast
    first = movements.latest(people.alice, site_id=people.site.pk)
    material = at.goods[0].material.pk
    ledger = movements.ledger(people.alice, question=Question(place_id=at.store.pk, material_id=material))
    asked = {
        "busy": lambda: movements.latest(people.alice, site_id=people.site.pk),
        "quiet": lambda: movements.latest(people.alice, site_id=people.other_site.pk),
        "later": lambda: movements.latest(people.alice, site_id=people.site.pk, after=first.after),
        "ledger": lambda: movements.ledger(
            people.alice, question=Question(at.store.pk, material_id=material, after=ledger.after)
        ),
    }

    plans = [plan for ask in asked.values() for plan in _plans(ask)]

    whole = [plan for plan in plans if any(words in plan for words in WHOLE_TABLE)]
    assert (len(plans), whole) == (16, [])


WHOLE_TABLE = ("SCAN inventory_movement", "Seq Scan on inventory_movement")
"""What a plan says that reads every movement, on SQLite and on PostgreSQL."""


def _plans(ask):
    """The plans of the statements that read the ledger, as text."""
    with CaptureQueriesContext(connection) as seen:
        ask()
    explain = "EXPLAIN QUERY PLAN " if connection.vendor == "sqlite" else "EXPLAIN "
    for query in seen.captured_queries:
        if '"inventory_movement"' in query["sql"]:
            with connection.cursor() as cursor:
                cursor.execute(explain + query["sql"])
                yield "\n".join(str(row[-1]) for row in cursor.fetchall())
