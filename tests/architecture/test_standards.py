"""Every standards value has a unit, and a source that exists; the reader refuses anything else."""

import dataclasses
import tomllib
from typing import get_args

import pytest

from estimates.calc.sheet import types
from estimates.standards import catalogues, load

FILES = sorted(load.FOLDER.glob("*.toml"))
PROFILES = sorted(file.stem.removeprefix("profile-") for file in FILES if file.name.startswith("profile-"))
SOURCES = {row["id"]: row for row in tomllib.loads((load.FOLDER / "sources.toml").read_text())["source"]}

HEAD = '[profile]\ntitle = "Test"\nedition = "1"\ndated = "2026-01-01"\n'
DOCUMENT = '[[source]]\nid = "doc"\ntitle = "T"\nedition = "1"\npublisher = "P"\nread = "in print"\n'
BAR = "size_mm = 8\narea_mm2 = 50.3\nmass_kg_per_m = 0.395\n"
CITED = 'source = "doc"\nprovenance = "read"\n'


def _leaves(table, path=()):
    if "source" in table:
        yield ".".join(path), table
        return
    for name, inner in table.items():
        for number, item in enumerate(inner if isinstance(inner, list) else [inner]):
            if isinstance(item, dict):
                yield from _leaves(item, (*path, name, *([str(number)] if isinstance(inner, list) else [])))


ROWS = [
    pytest.param(row, id=f"{file.name}:{key}")
    for file in FILES
    if file.name != "sources.toml"
    for key, row in _leaves(tomllib.loads(file.read_text()))
]


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "sources.toml").write_text(DOCUMENT)
    (tmp_path / "profile-xx.toml").write_text(HEAD)
    return tmp_path


@pytest.mark.parametrize("row", ROWS)
def test_row_has_a_source_that_exists(row):
    assert row["source"] in SOURCES
    assert row["provenance"] in set(load.Provenance)


@pytest.mark.parametrize("profile_id", PROFILES)
def test_profile_loads_all_rows_of_its_files(profile_id):
    profile = load.profile(profile_id)
    mine = [file for file in FILES if profile_id in tomllib.loads(file.read_text()).get("profiles", [])]
    rows = sum(len(list(_leaves(tomllib.loads(file.read_text())))) for file in mine)
    assert len(profile.values) + len(profile.choices) + len(profile.bars) == rows > 0


@pytest.mark.parametrize("profile_id", PROFILES)
def test_every_value_has_a_unit_and_every_limit_its_document(profile_id):
    profile = load.profile(profile_id)
    bare = [key for key, value in profile.values.items() if not value.unit.strip()]
    lost = [key for key, value in profile.values.items() if value.source not in profile.sources]
    assert (bare, lost) == ([], [])


def test_every_document_is_used_and_says_how_it_was_read():
    used = {value.source for profile_id in PROFILES for value in _all(load.profile(profile_id))}
    used |= {row.source for row in _drawn()}
    assert sorted(set(SOURCES) - used) == []
    assert [key for key, row in SOURCES.items() if not row["read"].strip()] == []


def _all(profile):
    return [*profile.values.values(), *profile.choices.values(), *profile.bars.values()]


def _drawn():
    """Every row of the catalogues of shapes, and the catalogues themselves."""
    for name in catalogues.known():
        catalogue = catalogues.load(name)
        yield from (catalogue, *catalogue.shapes.values(), *catalogue.bends.values())


def test_every_row_of_a_catalogue_has_a_source_that_exists():
    assert {row.source for row in _drawn()} <= set(SOURCES)
    unread = {key for key, row in SOURCES.items() if row["read"].startswith("not in print")}
    assert [row for row in _drawn() if row.source in unread and row.provenance == "read"] == []


@pytest.mark.parametrize(
    ("catalogue_id", "codes"),
    [
        ("is2502-1963", types.ShapeWord),
        ("bs8666-2005", types.ShapeBs8666),
        ("aci315-1999", types.ShapeAci315),
    ],
)
def test_sheet_knows_the_shapes_of_each_catalogue_and_no_other(catalogue_id, codes):
    catalogue = catalogues.load(catalogue_id)
    assert tuple(catalogue.shapes) == get_args(codes)
    letters = {letter for shape in catalogue.shapes.values() for letter in shape.letters}
    assert letters <= set(get_args(types.Dimension))


def test_sheet_knows_every_catalogue():
    assert set(catalogues.known()) == set(get_args(types.ShapeCatalogue))


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ('[[shape]]\ncode = "1"\ntitle = "x"\nlength = "A"\nprovenance = "read"\n', "lacks its source"),
        (f'[[shape]]\ncode = "1"\ntitle = "x"\nlength = "A"\nsides = 2\n{CITED}', "does not know sides"),
        (f'[[shape]]\ncode = "1"\ntitle = "x"\n{CITED}', "a form lacks its length"),
        (f'[[shape]]\ncode = "1"\ntitle = "x"\nlength = "A"\n{CITED}' * 2, "shape 1 stands twice"),
        (
            '[[shape]]\ncode = "1"\ntitle = "x"\nlength = "A"\nsource = "doc"\nprovenance = "guess"\n',
            "provenance 'guess'",
        ),
    ],
)
def test_reader_of_catalogues_refuses_with_file_and_row(text, fault):
    head = f'[catalogue]\nid = "x"\ntitle = "X"\nedition = "1"\nrounding = "none"\n{CITED}'
    with pytest.raises(load.StandardsError, match=r"x\.toml: shape 1") as refusal:
        catalogues.parse(head + text, name="x.toml")
    assert fault in str(refusal.value)


def test_nothing_unread_claims_to_be_read():
    # A document that says "not in print" cannot have values marked as read.
    unread = {key for key, row in SOURCES.items() if row["read"].startswith("not in print")}
    claimed = [
        value for value in _all(load.profile("is")) if value.source in unread and value.provenance == "read"
    ]
    assert claimed == []


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (
            'profiles = ["xx"]\n[a.b]\nvalue = 1\nunit = "m"\nsource = "lost"\nprovenance = "read"\n',
            "a.b: source 'lost'",
        ),
        (
            'profiles = ["xx"]\n[a.b]\nvalue = 1\nunit = "m"\nsource = "doc"\nprovenance = "guess"\n',
            "provenance 'guess'",
        ),
        (f'profiles = ["xx"]\n[a.b]\nvalue = 1\n{CITED}', "a.b: has no unit"),
        (f'profiles = ["xx"]\n[a.b]\nvalue = "1"\nunit = "m"\n{CITED}', "'1' is not a number"),
        (f'profiles = ["xx"]\n[a.b]\nvalue = true\nunit = "m"\n{CITED}', "True is not a number"),
        (f'profiles = ["xx"]\n[a.b]\nunit = "m"\n{CITED}', "either a value or a choice"),
        (
            f'profiles = ["xx"]\n[a.b]\nvalue = 1\nchoice = "x"\nunit = "m"\n{CITED}',
            "either a value or a choice",
        ),
        (f'profiles = ["xx"]\n[a.b]\nvalue = 1\nunit = "m"\nlimit = 2\n{CITED}', "does not know limit"),
        ('profiles = ["xx"]\na = 1\n', "a: needs a table"),
        (f'profiles = ["xx"]\n[[bar]]\nsize_mm = 8\narea_mm2 = 50.3\n{CITED}', "bar 8: lacks mass_kg_per_m"),
        ('profiles = ["xx"]\n[a.b]\nchoice = "x"\nsource = "lost"\nprovenance = "read"\n', "source 'lost'"),
        (
            f'profiles = ["xx"]\n[[bar]]\n{BAR}source = "lost"\nprovenance = "read"\n',
            "bar 8: source 'lost'",
        ),
        (f'[a.b]\nvalue = 1\nunit = "m"\n{CITED}', "must say which profiles"),
        ('profiles = ["xx"\n', "not valid TOML"),
    ],
)
def test_reader_refuses_with_file_and_key(folder, text, fault):
    (folder / "subject-xx.toml").write_text(text)
    with pytest.raises(load.StandardsError, match=r"subject-xx\.toml") as refusal:
        load.read(folder, profile_id="xx")
    assert fault in str(refusal.value)


def test_reader_names_every_fault_at_once(folder):
    (folder / "one-xx.toml").write_text(f'profiles = ["xx"]\n[a.b]\nvalue = 1\n{CITED}')
    (folder / "two-xx.toml").write_text('profiles = ["xx"]\n[c.d]\nvalue = 1\nunit = "m"\nsource = "lost"\n')
    with pytest.raises(load.StandardsError) as refusal:
        load.read(folder, profile_id="xx")
    assert [line.split(":")[0] for line in str(refusal.value).splitlines()] == ["one-xx.toml"] + [
        "two-xx.toml"
    ] * 2


def test_reader_refuses_a_key_in_two_files(folder):
    for name in ("one", "two"):
        (folder / f"{name}-xx.toml").write_text(f'profiles = ["xx"]\n[a.b]\nvalue = 1\nunit = "m"\n{CITED}')
    with pytest.raises(load.StandardsError, match=r"two-xx.toml: a.b: stands in another file too"):
        load.read(folder, profile_id="xx")


def test_reader_refuses_a_bar_twice(folder):
    row = f"[[bar]]\n{BAR}{CITED}"
    (folder / "steel-xx.toml").write_text(f'profiles = ["xx"]\n{row}{row}')
    with pytest.raises(load.StandardsError, match="bar 8: stands twice"):
        load.read(folder, profile_id="xx")


@pytest.mark.parametrize(
    ("text", "fault"), [(DOCUMENT + DOCUMENT, "stands twice"), ('[[source]]\nid = "doc"\n', "lacks title")]
)
def test_reader_refuses_a_document_without_its_facts(folder, text, fault):
    (folder / "sources.toml").write_text(text)
    with pytest.raises(load.StandardsError, match=fault):
        load.read(folder, profile_id="xx")


def test_files_of_another_profile_are_left_alone(folder):
    (folder / "subject-yy.toml").write_text('profiles = ["yy"]\na = 1\n')
    assert dict(load.read(folder, profile_id="xx").values) == {}


def test_digest_changes_with_a_value(folder):
    digests = []
    for number in (1, 2):
        (folder / "subject-xx.toml").write_text(
            f'profiles = ["xx"]\n[a.b]\nvalue = {number}\nunit = "m"\n{CITED}'
        )
        digests.append(load.read(folder, profile_id="xx").digest)
    assert digests[0] != digests[1]


def test_unknown_profile_names_those_that_are_known():
    with pytest.raises(load.StandardsError, match=r"no standards profile 'zz'; known: .*is"):
        load.profile("zz")


def test_profile_is_frozen():
    with pytest.raises(TypeError):
        load.profile("is").values["x"] = None
    with pytest.raises(dataclasses.FrozenInstanceError):
        load.profile("is").value("curing.days.opc").value = 1


@pytest.mark.parametrize("ask", ["value", "choice"])
def test_asking_for_what_is_not_there_is_refused(ask):
    with pytest.raises(load.StandardsError, match="has no"):
        getattr(load.profile("is"), ask)("no.such.key")


def test_asking_for_a_bar_that_is_not_in_the_table_names_the_sizes():
    with pytest.raises(load.StandardsError, match=r"no 9 mm bar; its sizes are .*8, 10, 12"):
        load.profile("is").bar(9)


def test_limit_known_from_memory_or_custom_may_not_stop_a_bill():
    assert [str(word) for word in load.Provenance if word.may_stop] == ["read", "secondary", "derived"]


# Facts of the trade that the project states, as limits with their provenance.
@pytest.mark.parametrize(
    ("key", "number", "unit"),
    [
        ("slab.thickness_min", 120, "mm"),
        ("slab.thickness_better", 125, "mm"),
        ("stone_split.20", 60, "%"),
        ("stone_split.10", 40, "%"),
        ("nominal_mix.M20.sand", 1.5, "part"),
        ("nominal_mix.M20.stone", 3, "part"),
        ("placing.free_fall.practice", 1.2, "m"),
        ("placing.free_fall.code", 1.5, "m"),
        ("placing.temperature.max", 40, "°C"),
        ("placing.temperature.better", 35, "°C"),
        ("placing.time.max", 45, "min"),
        ("placing.time.better", 30, "min"),
        ("curing.days.opc", 7, "day"),
        ("curing.days.blended", 10, "day"),
        ("curing.days.blended_hot_dry", 14, "day"),
    ],
)
def test_trade_fact_stands_in_the_profile(key, number, unit):
    value = load.profile("is").value(key)
    assert (value.value, value.unit) == (number, unit)
