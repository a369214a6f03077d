"""Folders as a broker on one machine: Celery's file transport, made safe against half-written messages."""

import uuid
from pathlib import Path
from queue import Empty
from time import time_ns
from typing import Any

from kombu.transport import filesystem
from kombu.utils.json import dumps, loads

_LONGEST_WAIT = 0.5  # seconds


class Channel(filesystem.Channel):
    """Messages appear whole or not at all, are taken by a rename inside one file system, and leave no trace.

    An exchange has one queue, of its own name, so that no table of bindings is kept on disk either.
    """

    def _queue_bind(self, *_: Any) -> None:
        """Nothing to remember."""

    def get_table(self, exchange: str) -> list[filesystem.exchange_queue_t]:
        return [filesystem.exchange_queue_t(exchange, "", exchange)]

    def _put(self, queue: str, payload: dict[str, Any], **_: Any) -> None:  # type: ignore[override]  # the two parents differ
        name = f"{time_ns()}-{uuid.uuid4().hex}.{queue}.msg"
        draft = Path(self.processed_folder) / f"draft-{name}"
        draft.write_text(dumps(payload), encoding="utf-8")
        draft.rename(Path(self.data_folder_out) / name)

    def _get(self, queue: str, timeout: float | None = None) -> dict[str, Any]:
        del timeout  # the poll's pause is the transport's affair
        for message_file in sorted(Path(self.data_folder_in).glob(f"*.{queue}.msg")):
            taken = Path(self.processed_folder) / message_file.name
            try:
                message_file.rename(taken)
            except FileNotFoundError:
                continue  # another worker was quicker
            text = taken.read_text(encoding="utf-8")
            taken.unlink()
            return loads(text)
        raise Empty


class Transport(filesystem.Transport):
    """The transport that Celery is given by name."""

    Channel = Channel

    def drain_events(self, connection: Any, timeout: float | None = None, **_: Any) -> Any:
        """Wait a little, then let the worker look whether it is to stop."""
        return super().drain_events(connection, timeout=min(timeout or _LONGEST_WAIT, _LONGEST_WAIT))
