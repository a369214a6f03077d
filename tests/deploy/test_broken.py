"""What people and programs are told while the database is away; asked of a process that cannot reach it."""

import json
import os
import subprocess
import sys

import pytest

ASK = """
import json, logging, django
django.setup()
logging.disable(logging.CRITICAL)
from django.test import Client
client = Client(raise_request_exception=False)
client.cookies["sessionid"] = "s" * 32
answers = [client.get(path) for path in ("/", "/api/v1/me/", "/health/", "/sign-in/")]
keep = ("Retry-After", "Content-Security-Policy", "Cache-Control", "Content-Type")
print(json.dumps([[a.status_code, {k: a.headers.get(k) for k in keep}, a.content.decode()] for a in answers]))
"""


def ask(**environment):
    """What some addresses answer, asked with a session's cookie, in a process of its own."""
    known = {k: v for k, v in os.environ.items() if k not in {"DATABASE_URL", "POURTALLY_RUN"}}
    settings = {"DJANGO_SETTINGS_MODULE": "deploy.settings.test"}
    command = [sys.executable, "-W", "ignore", "-c", ASK]
    ran = subprocess.run(command, env=known | settings | environment, capture_output=True, check=True)
    return json.loads(ran.stdout)


def away(kind, tmp_path):
    if kind == "postgresql":
        return ask(POURTALLY_RUN=str(tmp_path), DATABASE_URL=f"postgresql:///gone?host={tmp_path}")
    (tmp_path / "db.sqlite3").mkdir()  # what cannot be opened as a file
    return ask(POURTALLY_RUN=str(tmp_path))


@pytest.mark.parametrize("kind", ["postgresql", "sqlite"])
def test_database_that_is_away_is_503_and_not_a_fault(kind, tmp_path):
    page, api, health, _sign_in = away(kind, tmp_path)

    assert [page[0], api[0], health[0]] == [503, 503, 503]
    assert page[1]["Retry-After"] == api[1]["Retry-After"] == "10"
    assert "cannot reach its database" in page[2]
    assert json.loads(api[2]) | {"message": ""} == {
        "code": "away",
        "message": "",
        "field": None,
        "params": {},
        "faults": [],
    }
    assert all("default-src 'self'" in answer[1]["Content-Security-Policy"] for answer in (page, api))
    assert page[1]["Cache-Control"] == "no-store"


def test_fault_of_our_own_stays_a_500(tmp_path):
    """A database without tables answers; that the tables are missing will not pass by waiting."""
    page, api, _health, _sign_in = ask(POURTALLY_RUN=str(tmp_path))

    assert (page[0], api[0], page[1]["Retry-After"]) == (500, 500, None)
    assert json.loads(api[2])["code"] == "broken"
    assert "Something broke on our side" in page[2]
