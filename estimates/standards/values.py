"""What a standards profile is made of: cited numbers, named methods, the bar table, the documents."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum


class StandardsError(ValueError):
    """The standards data break a rule, or lack what was asked: the message names file and key."""


class Provenance(StrEnum):
    """How a value came to be known; it travels with the value wherever it is shown."""

    READ = "read"
    SECONDARY = "secondary"
    MEMORY = "memory"
    DERIVED = "derived"
    COMMON_PRACTICE = "common practice"

    @property
    def may_stop(self) -> bool:
        """Whether a limit of this provenance may stop a bill; the others can at most warn."""
        return self not in {Provenance.MEMORY, Provenance.COMMON_PRACTICE}


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A document: what it is, its edition, who published it and how it was read."""

    id: str
    title: str
    edition: str
    publisher: str
    read: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cited:
    """What every datum carries: `source` is the id of a `Source`."""

    source: str
    clause: str
    provenance: Provenance
    note: str = ""

    @property
    def citation(self) -> str:
        """The document, the clause and how it was read, in one string for a line of the bill."""
        place = f"{self.source}, {self.clause}" if self.clause else self.source
        return f"{place} ({self.provenance})"


@dataclass(frozen=True, slots=True, kw_only=True)
class Own:
    """A firm's own figure in a value's place: who set it, when (as 2026-03-01), why, and what it replaces."""

    by: str
    on: str
    reason: str
    replaces: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Value(Cited):
    """A number with its unit ("1" for a bare ratio) and its citation, or a firm's own in its place."""

    value: float
    unit: str
    own: Own | None = None

    @property
    def citation(self) -> str:
        """Where the number comes from; a firm's own figure names its maker and what it replaces."""
        place = f"{self.source}, {self.clause}" if self.clause else self.source
        printed = f"{place} ({self.provenance})"
        if self.own is None:
            return printed
        replaced = f"{self.own.replaces:g} {self.unit}".removesuffix(" 1")
        mine = f"our figure of {self.own.on}, {self.own.by}: {self.own.reason}"
        return f"{mine}; in place of {replaced}, {printed}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice(Cited):
    """A named method chosen by the profile (a counting rule, a mix method), with its citation."""

    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar(Cited):
    """One row of the standard's bar table: nominal size, area and mass per metre.

    `name` is what the trade calls the size where it is not its millimetres, as "#5"; `true_mm` is the nominal
    diameter where the size is only its rounded number [mm], 0 where both are the same.
    """

    size_mm: int
    area_mm2: float
    mass_kg_per_m: float
    name: str = ""
    true_mm: float = 0.0

    @property
    def designation(self) -> str:
        """The size as schedules write it: "#5", "H10" or "10 mm"."""
        return self.name or f"{self.size_mm} mm"

    @property
    def diameter_mm(self) -> float:
        """Nominal diameter that lengths are reckoned with [mm]."""
        return self.true_mm or float(self.size_mm)


@dataclass(frozen=True, kw_only=True)
class Profile:
    """All values of one code profile, frozen: `id` and `edition` go into every bill.

    Keys are dotted paths of the data files, as `value("curing.days.opc")`.
    """

    id: str
    title: str
    edition: str
    dated: str
    digest: str
    values: Mapping[str, Value] = field(repr=False)
    choices: Mapping[str, Choice] = field(repr=False)
    bars: Mapping[int, Bar] = field(repr=False)
    sources: Mapping[str, Source] = field(repr=False)

    def value(self, key: str) -> Value:
        """The cited value under `key`. Raises: StandardsError: the profile has no such value."""
        if key not in self.values:
            message = f"profile {self.id} has no value {key!r}"
            raise StandardsError(message)
        return self.values[key]

    def find(self, key: str) -> Value | None:
        """The cited value under `key`; None where this profile's documents and customs set none."""
        return self.values.get(key)

    def number(self, key: str) -> float:
        """The bare number under `key`, in the unit that the data file states."""
        return self.value(key).value

    def choice(self, key: str) -> Choice:
        """The named method under `key`. Raises: StandardsError: the profile has no such choice."""
        if key not in self.choices:
            message = f"profile {self.id} has no choice {key!r}"
            raise StandardsError(message)
        return self.choices[key]

    def group(self, prefix: str) -> dict[str, Value]:
        """The values below `prefix`, by the rest of their key: `group("curing.days")["opc"]`."""
        start = prefix + "."
        return {key.removeprefix(start): value for key, value in self.values.items() if key.startswith(start)}

    def bar(self, size_mm: int) -> Bar:
        """The row of the bar table. Raises: StandardsError: the table has no bar of this size."""
        if size_mm not in self.bars:
            sizes = ", ".join(str(size) for size in sorted(self.bars))
            message = f"profile {self.id} has no {size_mm} mm bar; its sizes are {sizes} mm"
            raise StandardsError(message)
        return self.bars[size_mm]
