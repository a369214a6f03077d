"""A broker that is away costs a request next to nothing."""

import os
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
RING_TWICE = """
import time, django
django.setup()
from deploy import bell
begun = time.monotonic()
answers = [bell.ring(), bell.ring()]
print(answers, time.monotonic() - begun < 3)
"""


def test_ring_without_a_broker_fails_quietly_and_rests(tmp_path):
    begun = time.monotonic()
    result = subprocess.run(
        [sys.executable, "-c", RING_TWICE],
        cwd=ROOT,
        env={
            **os.environ,
            "DJANGO_SETTINGS_MODULE": "deploy.settings.test",
            "POURTALLY_RUN": str(tmp_path),
            "REDIS_URL": "redis://127.0.0.1:1/0",
        },
        capture_output=True,
        text=True,
        check=True,
    )

    assert result.stdout == "[False, False] True\n"
    assert result.stderr.count("The broker did not take the ring") == 1
    assert time.monotonic() - begun < 20
