"""The doorbell: tells a worker that the outbox has something. Losing a ring costs seconds, never a job."""

import logging
import time

from kombu.exceptions import KombuError

from deploy.celery import SWEEP_EXPIRES_SECONDS, app

logger = logging.getLogger(__name__)

_PAUSE_SECONDS = 30.0
_quiet_until = 0.0


def ring() -> bool:
    """Ring for a sweep and say whether the broker took it.

    After a failure the bell rests for half a minute, so that no request waits for a broker that is away.
    """
    global _quiet_until  # noqa: PLW0603 - one clock for the process is what is meant
    if time.monotonic() < _quiet_until:
        return False
    try:
        app.send_task("deploy.sweep", ignore_result=True, retry=False, expires=SWEEP_EXPIRES_SECONDS)
    except (KombuError, OSError) as fault:
        _quiet_until = time.monotonic() + _PAUSE_SECONDS
        logger.warning("The broker did not take the ring; the next sweep finds the jobs. %s", fault)
        return False
    return True
