from dataclasses import dataclass
from datetime import date
from enum import StrEnum

import pytest

from inventory.calc.reorder import fingerprint


@dataclass(frozen=True)
class Bag:
    kilograms: int
    made: date


class Kind(StrEnum):
    CEMENT = "cement"


@pytest.mark.parametrize(
    ("value", "digest"),
    [
        # Printed by coreutils: the canonical text of each value piped into sha256sum.
        ([], "4f53cda18c2baa0c0354bb5f9a3ecbe5ed12ab4d8e11ba873c2f11161202b945"),
        (
            {"b": date(2025, 3, 1), "a": (1, None, True)},
            "30edacd1fa1481a233913f205d573d05068ccb6f2be55f96298c4fda14b89c97",
        ),
    ],
)
def test_of_is_sha256_of_canonical_json(value, digest):
    assert fingerprint.of(value) == digest


def test_of_dataclass_is_of_its_fields():
    assert fingerprint.of(Bag(50, date(2025, 3, 1))) == fingerprint.of(
        {"made": "2025-03-01", "kilograms": 50}
    )
    assert fingerprint.of(Bag(50, date(2025, 3, 1))) != fingerprint.of(Bag(50, date(2025, 3, 2)))


def test_of_set_does_not_depend_on_its_order():
    assert fingerprint.of(frozenset({"b", "a"})) == fingerprint.of(["a", "b"])


def test_of_enumeration_is_its_value():
    assert fingerprint.of(Kind.CEMENT) == fingerprint.of("cement")


@pytest.mark.parametrize("value", [1.5, b"bytes", object(), Bag])
def test_of_refuses_what_has_no_stable_text(value):
    with pytest.raises(TypeError, match="has no stable text"):
        fingerprint.of([value])


def test_of_refuses_keys_that_are_not_text():
    with pytest.raises(TypeError, match="key 1 must be text"):
        fingerprint.of({1: "a"})
