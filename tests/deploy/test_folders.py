"""The folders as a broker: whole messages, first in first out, nothing left behind."""

import pytest
from kombu import Connection


@pytest.fixture
def channel(tmp_path):
    folders = {name: tmp_path / name for name in ("queue", "taken")}
    for folder in folders.values():
        folder.mkdir()
    options = {
        "data_folder_in": str(folders["queue"]),
        "data_folder_out": str(folders["queue"]),
        "processed_folder": str(folders["taken"]),
    }
    with Connection(
        "filesystem://localhost//", transport="deploy.folders:Transport", transport_options=options
    ) as link:
        yield link.channel()


def test_messages_come_in_order_and_leave_no_file(channel, tmp_path):
    queue = channel.connection.client.SimpleBuffer("rings", channel=channel)
    for number in range(3):
        queue.put({"number": number})

    got = [queue.get(timeout=2).payload["number"] for _ in range(3)]

    assert got == [0, 1, 2]
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []


def test_half_written_message_is_not_seen(channel, tmp_path):
    (tmp_path / "taken" / "draft-1-x.rings.msg").write_text("{")
    queue = channel.connection.client.SimpleBuffer("rings", channel=channel)

    with pytest.raises(queue.Empty):
        queue.get(block=False)
