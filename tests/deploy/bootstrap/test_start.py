"""Until its environment exists, the project asks for no more than a bare Python."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from deploy.bootstrap import python

ROOT = Path(__file__).resolve().parents[3]
EARLY = [ROOT / "manage.py", *sorted((ROOT / "deploy" / "bootstrap").glob("*.py"))]
# Debian packages these apart from Python itself.
MAY_BE_MISSING = {"ensurepip", "venv", "pip", "distutils", "lib2to3", "tkinter", "idlelib"}


def imported(path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module or ""


@pytest.mark.parametrize("path", EARLY, ids=lambda path: path.name)
def test_first_steps_import_the_standard_library_alone(path):
    later = {"django.core.management", "deploy"}  # inside the environment, at the end of start.main
    names = {name for name in imported(path) if not name.startswith("deploy.bootstrap")}
    if path.name == "start.py":
        names -= later

    roots = {name.partition(".")[0] for name in names}
    assert roots <= set(sys.stdlib_module_names)
    assert not roots & MAY_BE_MISSING


@pytest.mark.parametrize(
    "path", [ROOT / "manage.py", ROOT / "deploy/bootstrap/start.py", ROOT / "deploy/bootstrap/python.py"]
)
def test_first_files_can_be_read_by_old_pythons(path):
    ast.parse(path.read_text(encoding="utf-8"), feature_version=(3, 6))


@pytest.mark.parametrize(("version", "right"), [((3, 11), True), ((3, 10), False), ((3, 12), False)])
def test_only_one_version_is_right(version, right):
    assert python.is_right(version) is right


def test_program_that_only_looks_like_the_right_python_is_passed_over(tmp_path):
    shim = tmp_path / "python3.11"
    shim.write_text("#!/bin/sh\nexit 127\n")
    shim.chmod(0o755)

    assert python.find([str(tmp_path / "absent"), str(shim), sys.executable]) == sys.executable


def test_without_the_right_python_the_message_says_what_to_install(monkeypatch):
    monkeypatch.setattr(python, "candidates", list)

    with pytest.raises(SystemExit, match=r"needs Python 3\.11.*\n.*python3\.11 "):
        python.go_on_in_right_one()


def test_command_runs_from_any_folder(tmp_path):
    result = subprocess.run(
        [sys.executable, str(ROOT / "manage.py"), "version"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )

    assert result.stdout.startswith("5.2")
