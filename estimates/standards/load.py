"""Reads the standards data of a profile, checks every citation and freezes it."""

import hashlib
import json
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from estimates.standards.values import Bar, Choice, Profile, Provenance, Source, StandardsError, Value

__all__ = ["Bar", "Choice", "Profile", "Provenance", "Source", "StandardsError", "Value", "profile", "read"]

FOLDER = Path(__file__).parent

_CITATION = frozenset({"source", "clause", "provenance", "note"})
_BAR = frozenset({"size_mm", "area_mm2", "mass_kg_per_m"})
_BAR_NAMES = frozenset({"name", "true_mm"})
_SOURCE = ("id", "title", "edition", "publisher", "read")


@cache
def profile(profile_id: str) -> Profile:
    """Loads a profile once and keeps it.

    Source: the files of this folder that name the profile in their `profiles` list.

    Args:
        profile_id: id of the profile, as "is".

    Returns:
        The frozen profile.

    Raises:
        StandardsError: no such profile, or a value breaks a rule of this folder's README.

    >>> profile("is").value("curing.days.opc").value
    7.0
    """
    return read(FOLDER, profile_id=profile_id)


def read(folder: Path, *, profile_id: str) -> Profile:
    """Reads and checks the profile's files in `folder`.

    Source: derived: the rules are those of this folder's README.

    Args:
        folder: where `sources.toml`, `profile-<id>.toml` and the subject files lie.
        profile_id: id of the profile.

    Returns:
        The frozen profile.

    Raises:
        StandardsError: names file and key of every fault.
    """
    head_file = folder / f"profile-{profile_id}.toml"
    if not head_file.exists():
        known = ", ".join(
            sorted(file.stem.removeprefix("profile-") for file in folder.glob("profile-*.toml"))
        )
        message = f"no standards profile {profile_id!r}; known: {known or 'none'}"
        raise StandardsError(message)
    head = _tables(head_file)["profile"]
    sources = _sources(folder / "sources.toml")
    reader = _Reader(sources)
    for file in sorted(folder.glob("*.toml")):
        if file.name != "sources.toml" and not file.name.startswith("profile-"):
            reader.read(file, profile_id=profile_id)
    if reader.faults:
        raise StandardsError("\n".join(reader.faults))
    return Profile(
        id=profile_id,
        title=head["title"],
        edition=head["edition"],
        dated=head["dated"],
        digest=_digest(profile_id, edition=head["edition"], reader=reader, shapes=folder / "shapes"),
        values=MappingProxyType(reader.values),
        choices=MappingProxyType(reader.choices),
        bars=MappingProxyType(dict(sorted(reader.bars.items()))),
        sources=MappingProxyType(sources),
    )


class _Reader:
    """Collects the values of the profile's files and every fault on the way."""

    def __init__(self, sources: Mapping[str, Source]) -> None:
        self.sources = sources
        self.values: dict[str, Value] = {}
        self.choices: dict[str, Choice] = {}
        self.bars: dict[int, Bar] = {}
        self.faults: list[str] = []

    def read(self, file: Path, *, profile_id: str) -> None:
        """Reads one subject file, if it belongs to the profile."""
        tables = _tables(file)
        profiles = tables.pop("profiles", None)
        bars = tables.pop("bar", [])
        if not profiles:
            self.faults.append(f'{file.name}: it must say which profiles it serves, as profiles = ["is"]')
        elif profile_id in profiles:
            for row in bars:
                self._bar(f"{file.name}: bar {row.get('size_mm', '?')}", row)
            for key, leaf in _leaves(tables):
                self._leaf(f"{file.name}: {key}", key=key, leaf=leaf)

    def _leaf(self, where: str, *, key: str, leaf: Any) -> None:
        if not isinstance(leaf, dict) or len({"value", "choice"} & set(leaf)) != 1:
            self.faults.append(f"{where}: needs a table with either a value or a choice")
            return
        cited = self._cited(where, leaf, known=frozenset({"value", "choice", "unit"}))
        if key in self.values or key in self.choices:
            self.faults.append(f"{where}: stands in another file too")
        elif "choice" in leaf and cited is not None:
            self.choices[key] = Choice(value=str(leaf["choice"]), **cited)
        elif "value" in leaf:
            self._value(where, key=key, leaf=leaf, cited=cited)

    def _value(self, where: str, *, key: str, leaf: Mapping[str, Any], cited: dict[str, Any] | None) -> None:
        number, unit = leaf["value"], leaf.get("unit")
        if isinstance(number, bool) or not isinstance(number, int | float):
            self.faults.append(f"{where}: value {number!r} is not a number")
        elif not unit:
            self.faults.append(f'{where}: has no unit; write unit = "1" for a bare ratio')
        elif cited is not None:
            self.values[key] = Value(value=float(number), unit=str(unit), **cited)

    def _bar(self, where: str, row: Mapping[str, Any]) -> None:
        cited = self._cited(where, row, known=_BAR | _BAR_NAMES)
        missing = sorted(key for key in _BAR if not row.get(key))
        if missing:
            self.faults.append(f"{where}: lacks {', '.join(missing)}")
        elif row["size_mm"] in self.bars:
            self.faults.append(f"{where}: stands twice")
        elif cited is not None:
            self.bars[row["size_mm"]] = Bar(
                size_mm=row["size_mm"],
                area_mm2=float(row["area_mm2"]),
                mass_kg_per_m=float(row["mass_kg_per_m"]),
                name=str(row.get("name", "")),
                true_mm=float(row.get("true_mm", 0)),
                **cited,
            )

    def _cited(self, where: str, row: Mapping[str, Any], *, known: frozenset[str]) -> dict[str, Any] | None:
        source, provenance, unknown = row.get("source"), row.get("provenance"), set(row) - known - _CITATION
        faults = []
        if source not in self.sources:
            faults.append(f"{where}: source {source!r} is not in sources.toml")
        if provenance not in set(Provenance):
            faults.append(f"{where}: provenance {provenance!r} is not one of {', '.join(Provenance)}")
        if unknown:
            faults.append(f"{where}: does not know {', '.join(sorted(unknown))}")
        if faults:
            self.faults += faults
            return None
        text = {"clause": row.get("clause", ""), "note": row.get("note", "")}
        return {"source": source, "provenance": Provenance(row["provenance"]), **text}


def _tables(file: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(file.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        message = f"{file.name}: not valid TOML: {error}"
        raise StandardsError(message) from error


def _sources(file: Path) -> dict[str, Source]:
    found: dict[str, Source] = {}
    for row in _tables(file).get("source", []):
        where = f"{file.name}: source {row.get('id', '?')!r}"
        missing = [name for name in _SOURCE if not row.get(name)]
        if missing:
            message = f"{where} lacks {', '.join(missing)}"
            raise StandardsError(message)
        if row["id"] in found:
            message = f"{where} stands twice"
            raise StandardsError(message)
        found[row["id"]] = Source(**row)
    return found


def _leaves(table: Mapping[str, Any], *, prefix: str = "") -> Iterator[tuple[str, Any]]:
    """Walks to the leaves: a group holds tables only, anything else is a leaf or a fault."""
    for name, inner in table.items():
        key = f"{prefix}{name}"
        if isinstance(inner, dict) and inner and all(isinstance(item, dict) for item in inner.values()):
            yield from _leaves(inner, prefix=f"{key}.")
        else:
            yield key, inner


def _plain(value: Value) -> dict[str, Any]:
    """A value of the data files; a firm's own figure is no part of them."""
    return {name: part for name, part in asdict(value).items() if name != "own"}


def _digest(profile_id: str, *, edition: str, reader: _Reader, shapes: Path) -> str:
    plain = {
        "id": profile_id,
        "edition": edition,
        "values": {key: _plain(value) for key, value in sorted(reader.values.items())},
        "choices": {key: asdict(choice) for key, choice in sorted(reader.choices.items())},
        "bars": [asdict(bar) for _, bar in sorted(reader.bars.items())],
        "shapes": {file.name: _tables(file) for file in sorted(shapes.glob("*.toml"))},
    }
    return hashlib.sha256(json.dumps(plain, sort_keys=True).encode()).hexdigest()
