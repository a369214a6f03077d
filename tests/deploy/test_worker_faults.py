"""A worker that is killed and a broker that is emptied, again and again: no job is lost, none done twice."""

import os
import random
import sys
import time

import pytest

from tests.deploy.workers import SERVICES, wait_until


@pytest.mark.worker
@pytest.mark.long
@pytest.mark.parametrize("service", SERVICES, indirect=True)
def test_each_job_is_done_exactly_once_though_workers_are_killed(service, full_size):
    count, kills = (500, 10) if full_size else (100, 3)
    seed = int(os.environ.get("POURTALLY_SEED") or time.time())
    chance = random.Random(seed)  # noqa: S311 - moments of kills, repeatable by their seed
    sys.stdout.write(f"POURTALLY_SEED={seed} repeats the moments of the kills\n")
    service.evaluate(f"jobs.ask({count})")

    service.start()
    for _ in range(kills):
        begun = service.runs()
        wait_until(lambda: service.runs() > begun, what="a job to begin")  # noqa: B023 - called at once
        time.sleep(chance.uniform(0.02, 0.25))
        service.kill()
        service.empty_the_broker()
        assert service.runs() < count + kills, "the jobs were over before the kills; nothing was tried"
        service.start()
    wait_until(lambda: service.runs() >= count and service.marks()["open"] == 0, what="all jobs to be done")

    assert service.marks() == {"marks": list(range(count)), "open": 0, "failed": 0}
    assert count <= service.runs() <= count + 2 * kills
