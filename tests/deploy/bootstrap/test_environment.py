"""When the environment is used as it is, when it is brought up to date, and when it is made anew."""

import pytest

from deploy.bootstrap import environment
from deploy.bootstrap.environment import EVERYTHING, SERVICE

INSTALLER = """#!/bin/sh
echo "$@" >> {log}
test -e {broken} && exit 2
mkdir -p {venv}/bin && touch {venv}/bin/python
"""


@pytest.fixture
def project(tmp_path, monkeypatch):
    """A project whose installer notes how it is called; it fails while the file `broken` is there."""
    (tmp_path / "uv.lock").write_text("first lock")
    for name, value in {
        "ROOT": tmp_path,
        "RUN": tmp_path / ".run",
        "VENV": tmp_path / ".venv",
        "LOCK_FILE": tmp_path / "uv.lock",
    }.items():
        monkeypatch.setattr(environment, name, value)
    program = tmp_path / "installer"
    program.write_text(
        INSTALLER.format(log=tmp_path / "log", broken=tmp_path / "broken", venv=tmp_path / ".venv")
    )
    program.chmod(0o755)
    monkeypatch.setattr(environment.lock, "installer_wheels", lambda _: [])
    monkeypatch.setattr(environment.lock, "pick", lambda wheels, machine: None)
    monkeypatch.setattr(environment.fetch, "installer", lambda wheel, *, folder: program)
    return tmp_path


def calls(project):
    log = project / "log"
    return log.read_text().splitlines() if log.exists() else []


def test_first_start_makes_the_environment_and_the_second_uses_it(project):
    environment.make_ready(SERVICE)
    environment.make_ready(SERVICE)

    assert len(calls(project)) == 1
    assert "sync --frozen" in calls(project)[0]
    assert "--no-dev" in calls(project)[0]
    assert environment.is_ready(SERVICE)
    assert not environment.is_ready(EVERYTHING)


def test_tests_widen_the_environment_and_it_stays_wide(project):
    environment.make_ready(SERVICE)
    environment.make_ready(EVERYTHING)
    environment.make_ready(SERVICE)
    (project / "uv.lock").write_text("second lock")
    environment.make_ready(SERVICE)

    assert ["--no-dev" in call for call in calls(project)] == [True, False, False]
    assert environment.is_ready(EVERYTHING)


def test_changed_lock_syncs_again_in_place(project):
    environment.make_ready(SERVICE)
    (project / ".venv" / "kept").touch()
    (project / "uv.lock").write_text("second lock")

    assert not environment.is_ready(SERVICE)
    environment.make_ready(SERVICE)

    assert environment.is_ready(SERVICE)
    assert (project / ".venv" / "kept").exists()


def test_interrupted_set_up_starts_afresh(project):
    (project / "broken").touch()
    with pytest.raises(environment.SetUpError, match="Run the same command again"):
        environment.make_ready(SERVICE)
    (project / ".venv").mkdir()
    (project / ".venv" / "half").touch()
    (project / "broken").unlink()

    environment.make_ready(SERVICE)

    assert environment.is_ready(SERVICE)
    assert not (project / ".venv" / "half").exists()


def test_set_up_that_broke_an_old_environment_is_not_ready(project):
    environment.make_ready(SERVICE)
    (project / "uv.lock").write_text("second lock")
    (project / "broken").touch()
    with pytest.raises(environment.SetUpError):
        environment.make_ready(SERVICE)
    (project / "uv.lock").write_text("first lock")

    assert not environment.is_ready(SERVICE)


def test_environment_whose_python_went_away_is_made_again(project):
    environment.make_ready(SERVICE)
    (project / ".venv" / "bin" / "python").unlink()

    environment.make_ready(SERVICE)

    assert len(calls(project)) == 2
    assert "--python" in calls(project)[1]
