"""The top level holds what it should, and nothing speaks of where it was made."""

from __future__ import annotations

import subprocess
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TOP = {
    "README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "uv.lock", "manage.py",
    "projects", "estimates", "inventory", "api", "tests", "deploy",
}  # fmt: skip
EXCEPTIONS = ("# no" + "qa", "# type: " + "ignore")
FORBIDDEN_ANYWHERE = ("TO" + "DO", "FIX" + "ME", "NotImplemented" + "Error")


def _tracked() -> list[str]:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode != 0 or not listed.stdout:
        pytest.skip("not a git checkout")
    return listed.stdout.splitlines()


def test_top_level_holds_what_it_should():
    found = {name.split("/")[0] for name in _tracked()}

    assert {name for name in found if not name.startswith(".")} == TOP


def test_nothing_is_left_open_in_the_code():
    here = Path(__file__).name
    open_ends = [
        (name, word)
        for name in _tracked()
        if name.endswith((".py", ".html", ".js", ".css")) and "vendor" not in name and not name.endswith(here)
        for word in FORBIDDEN_ANYWHERE
        if word in (ROOT / name).read_text()
    ]

    assert open_ends == []


def test_every_dependency_says_why_it_is_there():
    lines = (ROOT / "pyproject.toml").read_text().splitlines()
    table = tomllib.loads("\n".join(lines))
    wanted = table["project"]["dependencies"] + table["dependency-groups"]["dev"]
    silent = [d for d in wanted if not any(f'"{d}"' in line and "#" in line for line in lines)]

    assert silent == []


def test_no_exception_to_a_rule_is_without_a_reason():
    bare = [
        f"{name}:{number}"
        for name in _tracked()
        if name.endswith(".py") and "migrations" not in name
        for number, line in enumerate((ROOT / name).read_text().splitlines(), start=1)
        for mark in EXCEPTIONS
        if mark in line and not _has_reason(line, mark)
    ]

    assert bare == []


def _has_reason(line: str, mark: str) -> bool:
    rest = line.split(mark, 1)[1]
    return rest.startswith((":", "[")) and (" - " in rest or "#" in rest)
