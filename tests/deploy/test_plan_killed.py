"""A worker that is killed in the middle of plans: none is seen half, none twice, all are made in the end."""

import json
import os
import random
import subprocess
import sys
import time
from contextlib import contextmanager

import pytest

from tests.deploy.workers import ROOT, SERVICES, wait_until

JOBS = ("inventory.plan", "inventory.improve_plan")


@contextmanager
def asked(environment):
    """Ask a process that stays: ask("shown") gives what `tests.deploy.plans.shown` does."""
    command = [sys.executable, "-m", "tests.deploy.plans"]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True, "bufsize": 1}
    with subprocess.Popen(command, cwd=ROOT, env=environment, **pipes) as process:

        def ask(*words):
            process.stdin.write(" ".join(map(str, words)) + "\n")
            return json.loads(process.stdout.readline())

        yield ask
        process.stdin.close()


def is_whole(seen):
    """Whether what is shown is one plan, complete, and each row of it once."""
    one = seen["runs"] == seen["last"] and len(seen["runs"]) == 1
    return one and seen["promised"] == [seen["rows"]] and not seen["doubled"]


@pytest.mark.worker
@pytest.mark.long
@pytest.mark.parametrize("service", [one for one in SERVICES if one.id != "sqlite-redis"], indirect=True)
def test_plan_is_whole_and_made_once_though_its_worker_is_killed(service, full_size):
    kills = 50 if full_size else 2
    seed = int(os.environ.get("POURTALLY_SEED") or time.time())
    chance = random.Random(seed)  # noqa: S311 - moments of kills, repeatable by their seed
    sys.stdout.write(f"POURTALLY_SEED={seed} repeats the moments of the kills\n")
    service.environment["POURTALLY_LEASE_SECONDS"] = "20"
    hit, missed, looks, usual = dict.fromkeys(JOBS, 0), 0, 0, dict.fromkeys(JOBS, 1.0)

    with asked(service.environment) as ask:
        ask("make")
        service.start()
        wait_until(lambda: ask("shown")["rows"], what="the first plan")
        ask("approve")
        while sum(hit.values()) < kills:
            job = min(JOBS, key=hit.get)
            ask("change")
            at = _await(lambda job=job: ask("running").get(job), what=f"{job} to begin")
            time.sleep(chance.uniform(0, usual[job]))
            assert is_whole(ask("shown"))
            service.kill()
            killed = ask("undone", at[0])
            hit[job] += killed
            missed += not killed
            usual[job] *= 1.25 if killed else 0.5
            assert is_whole(ask("shown"))
            looks += 2
            service.start()
        wait_until(lambda: not ask("ended")["open_jobs"], what="all jobs to be done")
        left, seen = ask("ended"), ask("shown")

    sys.stdout.write(f"killed in the middle of {hit}, {missed} times after the end, looked {looks} times\n")
    assert is_whole(seen)
    assert left == {
        "wrong": [],
        "orders": 1,
        "open_jobs": 0,
        "errors": [],
        "grade": "improved",
        "dearer": False,
    }
    assert missed <= 2 * kills


def _await(probe, *, what):
    """Wait until the probe gives something, and return it."""
    found = []
    wait_until(lambda: found.append(probe()) or found[-1], what=what)
    return found[-1]
