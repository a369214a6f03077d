"""Many clients send the same receipts, in another order each and again and again, to the real web server.

Each receipt is there once, each with one movement, and the store holds exactly what they brought. The full
size is 64 clients and 1,000 receipts.
"""

from __future__ import annotations

import http.client
import json
import random
import socket
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor

import pytest

from tests.benchmarks import report
from tests.faults.test_service_killed import THEN, TOKEN, Service

pytestmark = [pytest.mark.worker, pytest.mark.data, pytest.mark.long]

SEED = 20_260_504
AGAIN = 0.1
GIVE_UP_SECONDS = 600


class Client:
    """Sends receipts one by one; what was not answered, and a part of what was, is sent again."""

    def __init__(self, port, *, store, seed):
        self.port, self.store, self.chance = port, store, random.Random(seed)  # noqa: S311 - a drawn order
        self.answers, self.statuses = [], Counter()

    def send_all(self, numbers):
        """Send every receipt until it is answered, in an order of its own."""
        order = self.chance.sample(numbers, len(numbers))
        ended = time.monotonic() + GIVE_UP_SECONDS
        while order and time.monotonic() < ended:
            number = order.pop()
            status, answer = self._send(number)
            self.statuses[status] += 1
            if status == 0:
                time.sleep(0.1)
            if status == 201:
                self.answers.append((number, answer["receipt"]["id"]))
            if status != 201 or self.chance.random() < AGAIN:
                order.insert(0, number)
        return self

    def _send(self, number):
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        bags = {name: self.store[name] for name in ("material_id", "pack_id")}
        body = {name: self.store[name] for name in ("site_id", "supplier_id")}
        body |= {"happened_at": THEN, "sure_of_time": True, "lines": [bags | {"stated": 1, "found": 1}]}
        headers = {
            "Content-Type": "application/json",
            "Idempotency-Key": f"fire-{number:05}",
            "Cookie": f"sessionid={self.store['session']}; csrftoken={TOKEN}",
            "X-CSRFToken": TOKEN,
        }
        try:
            connection.request("POST", "/api/v1/receipts/", json.dumps(body), headers)
            answer = connection.getresponse()
            content = answer.read()
            return answer.status, json.loads(content) if answer.status == 201 else None
        except (OSError, http.client.HTTPException):
            return 0, None
        finally:
            connection.close()


@pytest.fixture
def service(tmp_path):
    """The web server on an SQLite file of its own."""
    made = Service(tmp_path, "")
    made.migrate()
    yield made
    for name in list(made.running):
        made.kill(name)


def _wait_for(port):
    for _ in range(300):
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.1)
    pytest.fail("the web server did not answer within 30 s")


def test_receipts_of_many_clients_count_once(service, full_size, capsys, record_property):
    clients, receipts = (64, 1_000) if full_size else (8, 60)
    store = service.ask("store.make()")
    service.start("web")
    _wait_for(service.port)
    numbers = list(range(receipts))
    begun = time.monotonic()
    with ThreadPoolExecutor(clients) as pool:
        sending = [Client(service.port, store=store, seed=SEED + n) for n in range(clients)]
        ended = list(pool.map(lambda client: client.send_all(numbers), sending))
    spent = time.monotonic() - begun
    told = service.ask("store.tell()")
    answers = [answer for client in ended for answer in client.answers]
    statuses = sum((client.statuses for client in ended), Counter())
    figures = {
        "receipts": told["receipts"],
        "movements": told["movements"],
        "answers given": len(answers),
        "statuses": dict(statuses),
        "seconds": spent,
        "answers a second": len(answers) / spent,
    }
    title = f"{clients} clients send the same {receipts} receipts, seed {SEED}, sqlite"
    report.show(capsys, record_property, title=title, figures=figures)
    assert (told["receipts"], told["movements"], told["bags"]) == (receipts, receipts, receipts)
    assert set(answers) == {(int(key[5:]), result) for key, result in told["results"].items()}
    assert all({number for number, _id in client.answers} == set(numbers) for client in ended)
    assert (told["differences"], told["failed_jobs"], told["whole"]) == ([], [], True)
    assert set(statuses) <= {0, 201, 503}
    assert sorted(told["numbers"]) == [f"RC-{n[3:7]}-{i:04}" for i, n in enumerate(told["numbers"], start=1)]
