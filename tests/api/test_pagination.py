from __future__ import annotations

import pytest

from tests.api.calls import code
from tests.factories import estimates, inventory_orders

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.mark.parametrize("limit", ["0", "-1", "201", "many", "1e2", ""])
def test_page_size_out_of_bounds_is_refused(alice, limit):
    answer = alice.get("sites/", limit=limit)

    assert code(answer) == (400, "faulty_input")
    assert answer.json()["field"] == "limit"


@pytest.mark.parametrize("path", ["sites/", "receipts/", "orders/", "slips/", "counts/"])
@pytest.mark.parametrize("after", ["x", "-1", "1.5", "99999999", "²", "2026-05-04T00:00:00_1", "_1"])
def test_address_of_no_page_is_refused(alice, path, after):
    answer = alice.get(path, after=after)

    assert code(answer) == (400, "bad_cursor")


@pytest.mark.parametrize("limit", [1, 2, 3])
def test_pages_by_position_show_every_row_once(alice, firm, limit):
    for name in ("Roof", "Stair", "Porch"):
        estimates.slab(firm.alice, site=firm.site, name=name)

    assert _names(alice, "slabs/", limit=limit, field="name") == ["Porch", "Roof", "Stair"]


@pytest.mark.parametrize("limit", [1, 2, 3])
def test_pages_by_key_show_every_row_once_newest_first(alice, firm, ours, limit):
    for _ in range(2):
        inventory_orders.issue(firm.alice, to=ours.pour, of=ours.cement, packs=1)

    found = _names(alice, "slips/", limit=limit, field="number")

    assert found == ["SL-2026-0003", "SL-2026-0002", "SL-2026-0001"]


def test_row_added_meanwhile_moves_no_page_by_key(alice, firm, ours):
    inventory_orders.issue(firm.alice, to=ours.pour, of=ours.cement, packs=1)
    first = alice.get("slips/", limit=1).json()
    inventory_orders.issue(firm.alice, to=ours.pour, of=ours.cement, packs=1)

    second = alice.get("slips/", limit=1, after=first["after"]).json()

    assert [row["number"] for row in first["rows"] + second["rows"]] == ["SL-2026-0002", "SL-2026-0001"]


def _names(caller, path, *, limit, field):
    found, after = [], ""
    while after is not None:
        page = caller.get(path, limit=limit, after=after).json()
        assert len(page["rows"]) <= limit
        found += [row[field] for row in page["rows"]]
        after = page["after"]
    return found
