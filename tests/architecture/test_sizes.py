"""The tail does not grow: files, functions and migrations stay small and named."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PACKAGES = ("projects", "estimates", "inventory", "api", "deploy", "tests")
FILES = sorted(
    path for package in PACKAGES for path in (ROOT / package).rglob("*.py") if "migrations" not in path.parts
)
PRODUCT = [path for path in FILES if path.relative_to(ROOT).parts[0] != "tests"]
FUNCTION = (ast.FunctionDef, ast.AsyncFunctionDef)


def _name(path: Path) -> str:
    return str(path.relative_to(ROOT))


@pytest.mark.parametrize("path", FILES, ids=_name)
def test_file_has_at_most_400_lines(path):
    assert len(path.read_text().splitlines()) <= 400


@pytest.mark.parametrize("path", PRODUCT, ids=_name)
def test_function_has_at_most_50_lines(path):
    tree = ast.parse(path.read_text())
    long = [
        (node.name, node.end_lineno - node.lineno + 1)
        for node in ast.walk(tree)
        if isinstance(node, FUNCTION) and node.end_lineno - node.lineno + 1 > 50
    ]

    assert long == []


def _speaks(path: Path) -> bool:
    layers = {"calc", "standards", "services", "queries", "access"}
    return path.name != "__init__.py" and not layers.isdisjoint(path.relative_to(ROOT).parts)


@pytest.mark.parametrize("path", [p for p in PRODUCT if _speaks(p)], ids=_name)
def test_public_function_has_a_docstring(path):
    tree = ast.parse(path.read_text())
    silent = [
        node.name
        for node in tree.body
        if isinstance(node, (*FUNCTION, ast.ClassDef))
        and not node.name.startswith("_")
        and ast.get_docstring(node) is None
    ]

    assert silent == []


@pytest.mark.parametrize("app", ["projects", "estimates", "inventory"])
def test_migration_is_named_for_what_it_does(app):
    named_by_django = [p.name for p in (ROOT / app / "migrations").glob("*auto*.py")]

    assert named_by_django == []


@pytest.mark.parametrize("path", PRODUCT, ids=_name)
def test_module_is_not_a_drawer(path):
    assert path.stem not in {"utils", "helpers", "common", "misc", "manager"}
