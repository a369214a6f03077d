"""`manage.py takeoff`: what it prints, how it refuses, and that it leaves the database alone."""

import io
import json
import os
import re
import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import pytest
from django.core.management import call_command
from django.db.backends.base.base import BaseDatabaseWrapper

from estimates.standards import load

EXAMPLE = Path(str(files("estimates").joinpath("examples/roof-over-ridge-house.json")))
LINE_KEYS = {"key", "member", "net", "allowance", "order", "unit", "method", "source", "inputs", "formula"}


@pytest.fixture(autouse=True)
def no_database(monkeypatch):
    def refuse(self):
        raise AssertionError("the take-off opened a database connection")

    monkeypatch.setattr(BaseDatabaseWrapper, "connect", refuse)


@pytest.fixture
def faulty(tmp_path):
    def write(text):
        path = tmp_path / "sheet.json"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    return write


def printed(*arguments):
    out = io.StringIO()
    call_command("takeoff", *(str(argument) for argument in arguments), stdout=out)
    return out.getvalue()


def refused(path):
    out, err = io.StringIO(), io.StringIO()
    with pytest.raises(SystemExit) as left:
        call_command("takeoff", str(path), stdout=out, stderr=err)
    assert left.value.code == 2
    assert out.getvalue() == ""
    return err.getvalue()


def test_json_has_the_published_form():
    found = json.loads(printed(EXAMPLE, "--format", "json"))
    assert found["sheet"]["drawing"] == "RH-S-04"
    assert (found["profile"], found["edition"]) == ("is", load.profile("is").edition)
    for line in found["lines"]:
        assert set(line) >= LINE_KEYS
        for item in line["inputs"].values():
            assert set(item) == {"value", "unit", "source"}
            assert item["unit"]
            assert item["source"]


def test_json_formulas_redone_outside_the_program_give_the_net():
    functions = {"__builtins__": {}, "min": min, "max": max, "ceil": __import__("math").ceil}
    functions["floor"] = __import__("math").floor
    for line in json.loads(printed(EXAMPLE, "--format", "json"))["lines"]:
        values = {name: item["value"] for name, item in line["inputs"].items()}
        redone = eval(line["formula"], functions, values)  # noqa: S307 - a second evaluator, on our own output
        assert redone == pytest.approx(line["net"], rel=1e-12), line["key"]


def test_json_lines_carried_into_others_are_the_same_numbers():
    lines = {line["key"]: line for line in json.loads(printed(EXAMPLE, "--format", "json"))["lines"]}
    carried = [
        (item, lines[item["source"].removeprefix("line ")])
        for line in lines.values()
        for item in line["inputs"].values()
        if item["source"].startswith("line ")
    ]
    assert len(carried) > 10
    assert [(item["value"], item["unit"]) for item, _ in carried] == [
        (of["net"], of["unit"]) for _, of in carried
    ]


def test_json_keys_a_reader_can_count_on():
    keys = {line["key"] for line in json.loads(printed(EXAMPLE, "--format", "json"))["lines"]}
    assert keys >= {
        "concrete.net",
        "cement",
        "sand",
        "stone.20",
        "stone.10",
        "water",
        "curing.water",
        "curing.cover",
    }
    assert keys >= {f"formwork.{face}" for face in ("slab_soffit", "beam_soffit", "beam_side", "edge")}
    assert keys >= {"steel.mark.S1", "steel.mark.B2-1", "steel.size.10", "steel.binding_wire"}


def test_table_lines_up_and_ends_with_the_cautions():
    lines = printed(EXAMPLE).splitlines()
    head = next(line for line in lines if line.startswith("key "))
    assert head.split() == ["key", "member", "net", "allowance", "order", "unit", "pack", "surplus"]
    cement = next(line for line in lines if line.startswith("cement "))
    # The last figure of each number stands under the last letter of its heading.
    for name in ("net", "order"):
        at = re.search(rf"\b{name}\b", head).end()
        assert cement[at - 1].isdigit()
        assert cement[at : at + 2] == "  "
    assert cement.split()[:3] == ["cement", "concrete", "5,013.46"]
    assert "101 × bag, 50 kg" in cement
    assert "licensed engineer" in lines[-2]
    assert "kill" in lines[-1]


def test_table_shows_findings_with_their_source():
    assert "stop: Grade M20 is below M25" in printed(EXAMPLE)
    assert "[is-456-2000, table 5 (secondary)]" in printed(EXAMPLE)


PROP = {"name": "prop", "number": 40}


def test_table_of_a_sheet_without_findings_has_no_such_heading(faulty):
    data = json.loads(EXAMPLE.read_text(encoding="utf-8"))
    data |= {
        "exposure": "mild",
        "bars": [],
        "openings": [],
        "curing": {"cement": "opc", "method": "wet_cover"},
        "falsework": {"drawing_number": "FW-01", "designer": "L. Arden", "items": [PROP]},
    }
    assert "Findings" not in printed(faulty(json.dumps(data)))


def test_every_fault_is_printed_with_its_path(faulty):
    data = json.loads(EXAMPLE.read_text(encoding="utf-8"))
    data["thickness_mm"] = -125
    data["beams"][2]["width_mm"] = "wide"
    data["colour"] = "grey"
    text = refused(faulty(json.dumps(data)))
    for path in ("thickness_mm", "beams[2].width_mm", "colour"):
        assert re.search(rf"^  {re.escape(path)}: ", text, re.MULTILINE)


@pytest.mark.parametrize(
    ("content", "says"),
    [("{", "sheet"), ("", "sheet"), ("[1, 2]", "sheet"), (b"\xff\xfe\x00", "UTF-8")],
)
def test_what_is_no_sheet_is_refused(faulty, content, says):
    assert says in refused(faulty(content))


def test_file_that_is_not_there_is_refused(tmp_path):
    assert "nothing.json cannot be read" in refused(tmp_path / "nothing.json")


def test_folder_is_refused(tmp_path):
    assert "cannot be read" in refused(tmp_path)


def test_command_on_its_own_leaves_with_2_and_needs_no_database(tmp_path):
    # A database server that does not exist: had the command asked for it, it would have failed.
    surroundings = os.environ | {
        "DJANGO_SETTINGS_MODULE": "deploy.settings.test",
        "DATABASE_URL": "postgresql://nobody@127.0.0.1:1/none",
    }
    command = [sys.executable, "-m", "django", "takeoff"]
    good, bad = (
        subprocess.run([*command, str(path)], capture_output=True, text=True, env=surroundings, check=False)
        for path in (EXAMPLE, tmp_path / "nothing.json")
    )
    assert (good.returncode, good.stderr) == (0, "")
    assert "concrete.net" in good.stdout
    assert (bad.returncode, bad.stdout) == (2, "")
    assert "cannot be read" in bad.stderr
