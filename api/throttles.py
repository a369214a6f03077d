"""How much one person may ask of the API, so that a client gone wild is no harm to the others."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.cache import caches
from django.utils.connection import ConnectionProxy
from redis.exceptions import RedisError
from rest_framework.request import Request
from rest_framework.throttling import UserRateThrottle

MINUTE = 60


class PerPerson(UserRateThrottle):
    """Counts what a person asks in each minute of the clock; a stranger is turned away before.

    A count costs two short calls whatever the limit, where a list of times, as REST framework keeps it, grows
    with it. Where the count cannot be kept, everybody is let in.
    """

    cache: Any = ConnectionProxy(caches, "throttle")

    def get_rate(self) -> str | None:
        """Return the limit of the settings, none when it is 0."""
        return f"{settings.API_PER_MINUTE}/min" if settings.API_PER_MINUTE else None

    def allow_request(self, request: Request, view: Any) -> bool:
        """Count this request; False when it is one too many."""
        person = self.get_cache_key(request, view) if self.rate else None
        if person is None:
            return True
        key = f"{person}:{int(self.timer() // MINUTE)}"
        try:
            self.cache.add(key, 0, 2 * MINUTE)
            return bool(self.cache.incr(key) <= settings.API_PER_MINUTE)
        except (RedisError, ValueError):  # the latter: it was emptied between the two calls
            return True

    def wait(self) -> float:
        """Seconds until the next minute of the clock."""
        return MINUTE - self.timer() % MINUTE
