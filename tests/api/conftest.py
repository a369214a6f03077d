"""Two firms in full work: the cast's own, and Charlie's, whose data must never show."""

import pytest

from tests.api.calls import Caller
from tests.factories import cast as people
from tests.factories import world


@pytest.fixture
def firm():
    """The cast alone: people and sites."""
    return people.cast()


@pytest.fixture
def ours(firm):
    """Everything of the cast's firm, at Mill Yard, which Bob sees."""
    return world.furnish(firm.alice, site=firm.site, mark="ORCHARD")


@pytest.fixture
def theirs(firm):
    """Everything of Charlie's firm."""
    return world.furnish(firm.charlie, site=firm.charlie_site, mark="QUAYSIDE")


@pytest.fixture
def alice(firm):
    return Caller("alice")


@pytest.fixture
def bob(firm):
    return Caller("bob")


@pytest.fixture
def olga(firm):
    return Caller("olga")


@pytest.fixture
def charlie(firm):
    return Caller("charlie")


@pytest.fixture
def stranger(db):
    return Caller()
