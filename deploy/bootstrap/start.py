"""Finds Python 3.11, sets the environment up when it is not, and goes on inside it."""

import os
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent


def main() -> None:
    """Run the command line. Only this function runs on a Python other than 3.11."""
    from deploy.bootstrap import python  # noqa: PLC0415 - in order: first the version, then the rest

    if not python.is_right():
        python.go_on_in_right_one()
    from deploy.bootstrap import environment  # noqa: PLC0415 - needs Python 3.11

    os.chdir(ROOT)
    arguments = sys.argv[1:]
    wanted = environment.EVERYTHING if arguments[:1] == ["test"] else environment.SERVICE
    try:
        environment.make_ready(wanted)
    except environment.SetUpError as fault:
        sys.exit(f"Setting up failed: {fault}")
    if not environment.is_inside():
        environment.go_inside()
    if arguments[:1] == ["test"]:
        from deploy import testing  # noqa: PLC0415 - only for this command

        sys.exit(testing.run(arguments[1:]))
    if arguments[:1] == ["demo"]:
        os.environ.setdefault("POURTALLY_DEMO", "1")  # before the settings are read
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "deploy.settings.dev")
    from django.core.management import execute_from_command_line  # noqa: PLC0415 - exists from here on

    execute_from_command_line(sys.argv)
