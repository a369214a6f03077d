"""What the tests need is installed only where that is allowed, and else named with the command to run."""

import os

import pytest

from deploy.testing import packages


@pytest.fixture
def machine(tmp_path, monkeypatch):
    """A machine whose programs lie in one folder; apt-get there makes the programs it is asked for."""
    monkeypatch.setenv("PATH", f"{tmp_path}:/usr/bin:/bin")
    needed = {name: (tmp_path / f"{name}-program").exists for name in ("redis-server", "chromium")}
    monkeypatch.setattr(packages, "NEEDED", needed)
    program(tmp_path / "apt-get", 'test "$3" = update || touch "$(dirname "$0")/$6-program"')
    program(tmp_path / "sudo", "exit 1")
    return tmp_path


def program(path, script):
    path.write_text(f"#!/bin/sh\n{script}\n")
    path.chmod(0o755)


def test_nothing_missing_installs_nothing(machine):
    for name in ("redis-server", "chromium"):
        (machine / f"{name}-program").touch()
    program(machine / "apt-get", "exit 1")

    packages.require()


def test_root_installs_what_is_missing(machine, monkeypatch):
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    (machine / "chromium-program").touch()

    packages.require()

    assert packages.missing() == []


def test_person_without_rights_is_told_the_command(machine, monkeypatch):
    monkeypatch.setattr(os, "geteuid", lambda: 1000)

    with pytest.raises(packages.MissingError) as caught:
        packages.require()

    assert str(caught.value) == (
        "The tests need these Debian packages: redis-server chromium\n"
        "Run: sudo apt-get install --yes --no-install-recommends redis-server chromium"
    )


def test_sudo_that_asks_no_password_is_used(machine, monkeypatch):
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    program(machine / "sudo", 'shift; exec "$@"')
    (machine / "redis-server-program").touch()

    packages.require()

    assert packages.missing() == []


def test_installation_that_fails_is_said(machine, monkeypatch):
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    program(machine / "apt-get", "exit 100")

    with pytest.raises(packages.MissingError, match="apt-get could not install redis-server chromium"):
        packages.require()
