"""The Celery application. The broker only rings; the outbox table is the record of jobs."""

import os
import signal
from typing import Any

from celery import Celery, signals
from django.conf import settings

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "deploy.settings.dev")

# A ring or tick that was not heard for this long is stale: a later one does the same work.
SWEEP_EXPIRES_SECONDS = 10

app = Celery("pourtally")


def broker() -> dict[str, Any]:
    """Redis when it is set, else folders on this machine's disk."""
    if settings.REDIS_URL:
        timeouts = {"socket_connect_timeout": 1, "socket_timeout": 5}
        return {
            "broker_url": settings.REDIS_URL,
            "broker_transport_options": {**timeouts, "visibility_timeout": 600, "max_retries": 1},
        }
    folders = {name: settings.RUN / "broker" / name for name in ("queue", "taken")}
    for folder in folders.values():
        folder.mkdir(parents=True, exist_ok=True)
    return {
        "broker_url": "filesystem://localhost//",
        "broker_transport": "deploy.folders:Transport",
        "broker_transport_options": {
            "data_folder_in": str(folders["queue"]),
            "data_folder_out": str(folders["queue"]),
            "processed_folder": str(folders["taken"]),
            "polling_interval": 0.1,
        },
    }


app.conf.update(
    **broker(),
    broker_connection_timeout=1,
    broker_connection_retry_on_startup=True,
    task_ignore_result=True,
    task_serializer="json",
    accept_content=["json"],
    # A job may use up its lease, and no more: then its row is due again for another worker.
    task_soft_time_limit=int(settings.OUTBOX_LEASE.total_seconds() * 0.8),
    task_time_limit=int(settings.OUTBOX_LEASE.total_seconds() * 0.9) + 1,
    worker_prefetch_multiplier=1,
    worker_send_task_events=False,
    worker_hijack_root_logger=False,
    worker_enable_remote_control=False,
    enable_utc=True,
    timezone=settings.TIME_ZONE,
    include=["deploy.tasks"],
    worker_cancel_long_running_tasks_on_connection_loss=False,
    beat_schedule={
        "sweep": {
            "task": "deploy.sweep",
            "schedule": settings.OUTBOX_SWEEP_SECONDS,
            "options": {"expires": SWEEP_EXPIRES_SECONDS},
        },
        # Often, since a machine may be off at night; the jobs' keys carry the date: each is asked once.
        "nightly": {"task": "deploy.nightly", "schedule": 900, "options": {"expires": 600}},
    },
)


@signals.setup_logging.connect
def keep_our_logging(**_: Any) -> None:
    """Celery would set up logging of its own; that Django has done it already is enough."""


@signals.worker_ready.connect
def look_at_once(**_: Any) -> None:
    """What waited while no worker was there need not wait for the clock."""
    app.send_task("deploy.sweep", ignore_result=True, expires=SWEEP_EXPIRES_SECONDS)


@signals.worker_process_init.connect
def let_the_job_end(**_: Any) -> None:
    """A stop is sent to the whole group; the worker itself tells its children when their job is done."""
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
