"""Who asks too much of the API is told to wait, and nobody else is."""

import pytest
from django.core.cache import caches
from django.core.cache.backends.redis import RedisCache

from api.throttles import PerPerson
from deploy.settings import base

pytestmark = [pytest.mark.django_db, pytest.mark.data]

AT = 1_800_000_030.0  # half a minute into a minute of the clock


@pytest.fixture
def clock(settings, monkeypatch):
    """Three requests a minute, and a clock that a test can set."""
    settings.API_PER_MINUTE = 3
    caches["throttle"].clear()
    now = [AT]
    monkeypatch.setattr(PerPerson, "timer", lambda self: now[0])
    yield now
    caches["throttle"].clear()


def _asks(client, *, times=1):
    return [client.get("me/").status_code for _ in range(times)]


def test_one_too_many_is_refused_in_the_shape_of_every_refusal(clock, alice, bob):
    assert _asks(alice, times=3) == [200] * 3

    answer = alice.get("me/")

    assert (answer.status_code, answer.json()["code"], answer["Retry-After"]) == (429, "throttled", "30")
    assert _asks(bob) == [200]


def test_next_minute_begins_anew(clock, alice):
    assert _asks(alice, times=4) == [200, 200, 200, 429]
    clock[0] = AT + 30
    assert _asks(alice) == [200]


def test_refused_act_is_not_done_and_can_be_sent_again_under_its_key(clock, alice):
    _asks(alice, times=3)
    site = {"name": "Kiln Field", "place": "", "opened_date": "2026-05-04"}
    assert alice.post("sites/", site, key="throttled-1").status_code == 429
    clock[0] = AT + 30
    assert alice.post("sites/", site, key="throttled-1").status_code == 201


def test_no_limit_where_it_is_set_to_none(clock, settings, alice):
    settings.API_PER_MINUTE = 0
    assert _asks(alice, times=9) == [200] * 9


def test_counts_that_cannot_be_kept_hold_nobody_up(clock, alice, monkeypatch):
    monkeypatch.setattr(PerPerson, "cache", RedisCache("redis://127.0.0.1:1/0", {}))
    assert _asks(alice, times=5) == [200] * 5


def test_service_has_a_limit_by_itself():
    assert base.API_PER_MINUTE == 1_200
