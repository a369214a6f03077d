"""The door of every page: an address with a character that no text has is refused, not searched for."""

import pytest

from projects.models import Person
from tests.factories.cast import cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def office(client):
    cast()
    client.force_login(Person.objects.get(username="alice"))
    return client


def test_nobody_is_named_by_a_name_with_nul(office):
    assert office.get("/people/a%00b/password/").status_code == 404


@pytest.mark.parametrize(
    "address", ["/stores/receipts/?note=%00", "/stores/slips/?after=a%00", "/orders/?state=%00"]
)
def test_address_that_asks_with_nul_is_refused(office, address):
    assert office.get(address).status_code == 400
