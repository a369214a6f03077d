"""A broker that is away is tried once, then left alone for a while."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
RING_TWICE = """
import django
django.setup()
from deploy import bell
print([bell.ring(), bell.ring()])
"""


def test_ring_without_a_broker_fails_quietly_and_rests(tmp_path):
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
        timeout=60,
    )

    assert result.stdout == "[False, False]\n"
    assert result.stderr.count("The broker did not take the ring") == 1
