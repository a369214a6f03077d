"""The checks in their order. All of them run; the run fails when one of them did."""

import os
import secrets
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path

from deploy.testing import programs

ROOT = Path(__file__).resolve().parent.parent.parent
_NOTHING_COLLECTED = 5  # pytest's code when a selection matches no test


@dataclass(frozen=True)
class Step:
    """One check: its name, its command, and what it finds in its environment besides the usual."""

    title: str
    command: list[str]
    settings: str = "deploy.settings.test"
    environment: dict[str, str] = field(default_factory=dict)
    may_select_nothing: bool = False


def run(*, database_url: str, folder: Path, full: bool, for_pytest: list[str]) -> int:
    """Run every check, print what came of each, and return 0 when all passed."""
    steps = [*checks(database_url, folder), *tests(database_url, full=full, for_pytest=for_pytest)]
    failed = [step.title for step in steps if not _passes(step)]
    passed = len(steps) - len(failed)
    _say(f"\n{passed} checks passed, {len(failed)} failed" + (f": {', '.join(failed)}" if failed else ""))
    return 1 if failed else 0


def checks(database_url: str, folder: Path) -> list[Step]:
    """What is seen without running the service; what Django writes goes into the folder."""
    own = {"POURTALLY_RUN": str(folder)}
    production = {
        **own,
        "DATABASE_URL": database_url,
        "REDIS_URL": "redis://localhost:6379/0",
        "POURTALLY_SECRET_KEY": secrets.token_urlsafe(64),
        "POURTALLY_HOSTS": "pourtally.example",
    }
    strict = ("--fail-level", "WARNING")
    return [
        Step("ruff check", [_tool("ruff"), "check"]),
        Step("ruff format", [_tool("ruff"), "format", "--check"]),
        Step("mypy", [_tool("mypy")]),
        Step("import contracts", [_tool("lint-imports")]),
        Step("migrations", _django("makemigrations", "--check", "--dry-run"), environment=own),
        Step("system check", _django("check", "--database", "default", *strict), environment=own),
        Step("deploy check", _django("check", "--deploy", *strict), "deploy.settings.prod", production),
    ]


def tests(database_url: str, *, full: bool, for_pytest: list[str]) -> list[Step]:
    """Everything on SQLite, then the data layer again on PostgreSQL."""
    pytest = [
        sys.executable,
        "-m",
        "pytest",
        "-n",
        "2",
        "--dist",
        "loadgroup",
        *(["--full"] if full else []),
        *for_pytest,
    ]
    chosen = bool(for_pytest)
    on_postgres = {"DATABASE_URL": database_url}
    return [
        Step("tests on SQLite", pytest, may_select_nothing=chosen),
        Step(
            "data tests on PostgreSQL",
            [*pytest, "-m", "data"],
            environment=on_postgres,
            may_select_nothing=chosen,
        ),
    ]


def _passes(step: Step) -> bool:
    _say(f"\n── {step.title} ──")
    began = time.monotonic()
    ours = ("DATABASE_URL", "REDIS_URL", "DJANGO_SETTINGS_MODULE", "POURTALLY_RUN", "POURTALLY_DEMO")
    environment = {key: value for key, value in os.environ.items() if key not in ours}
    environment |= {"DJANGO_SETTINGS_MODULE": step.settings, **step.environment}
    code = programs.run(step.command, cwd=ROOT, env=environment)
    passed = code == 0 or (step.may_select_nothing and code == _NOTHING_COLLECTED)
    _say(f"{step.title}: {'passed' if passed else 'FAILED'} in {time.monotonic() - began:.1f} s")
    return passed


def _tool(name: str) -> str:
    return str(Path(sys.executable).parent / name)


def _django(*arguments: str) -> list[str]:
    return [sys.executable, "-m", "django", *arguments]


def _say(text: str) -> None:
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()
