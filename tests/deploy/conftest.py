"""A worker with a database and a broker of its own."""

import pytest

from tests.deploy.workers import Service


@pytest.fixture
def service(tmp_path, request):
    """A migrated database and the broker that the test asks for by parameter."""
    database, broker = request.param
    extra = {}
    if database == "postgresql":
        extra["DATABASE_URL"] = request.getfixturevalue("postgres_url")
    if broker == "redis":
        extra["REDIS_URL"] = request.getfixturevalue("redis_url")
    made = Service(tmp_path, extra)
    made.command("-m", "django", "migrate", "--verbosity", "0")
    yield made
    if made.worker and made.worker.poll() is None:
        made.kill()
