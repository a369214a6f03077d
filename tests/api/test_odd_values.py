"""An odd value in any place of any body is refused or done, and never an error of the service."""

from __future__ import annotations

import copy

import pytest

from tests.api import addresses
from tests.api.bodies import bodies
from tests.api.calls import ROOT, code, undone

pytestmark = [pytest.mark.django_db, pytest.mark.data, pytest.mark.long]

FEW = [None, -1, 10**30, 1e308, "\u202e", [[]]]
MORE = [True, 0, 5, 1.5, 10**6, 10**9, 1e-308, "", "x", "x" * 5_000, "1e999999", [], {}, {"a": 1}]


def test_odd_value_anywhere_is_never_an_error(alice, ours, full_size):
    sent = 0
    for address in addresses.acts():
        for body in _mutants(bodies(ours)[address.pattern], values=FEW + MORE if full_size else FEW):
            with undone():
                answer = _send(alice, address, address.path(ours), body)
            sent += 1
            assert answer.status_code in {200, 201, 400, 403, 404, 409}, (address, body)
    assert sent == 537 * len(FEW + MORE if full_size else FEW)


@pytest.mark.parametrize("path", ["sites/", "receipts/", "slips/"])
@pytest.mark.parametrize(
    "query", ["limit=%00", "after=%00", "site_id=%00", "note=%00", "limit=1e9", f"site_id={'9' * 30}"]
)
def test_odd_query_is_a_fault(alice, path, query):
    answer = alice.client.get(f"{ROOT}{path}?{query}")

    assert code(answer) == (400, "faulty_input")


def _send(caller, address, path, body):
    method = "post" if hasattr(address.view, "post") else "put"
    return getattr(caller, method)(path, body)


def _mutants(body, *, values):
    """Yield the body with each odd value in each of its places, the whole body being one of them."""
    yield from values
    for path in _places(body):
        for value in values:
            yield _changed(body, path, value)


def _places(data, path=()):
    parts = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for name, value in parts:
        yield (*path, name)
        yield from _places(value, (*path, name))


def _changed(body, path, value):
    made = copy.deepcopy(body)
    place = made
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    return made
