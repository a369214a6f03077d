"""Pieces cut for an earlier bar schedule against a later one: which of them no longer fit, and why."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum


class Reason(StrEnum):
    """Why pieces have no place in the later schedule."""

    GONE = "gone"
    BARS = "bars"
    LENGTH = "length"
    NUMBER = "number"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pieces:
    """Pieces of one mark and length: cut already, and still to be cut by plans whose bars are reserved."""

    size_mm: int
    grade: str
    shape: str
    length_mm: int
    cut: int
    to_cut: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the later schedule asks for under a mark: number by cutting length [mm]."""

    size_mm: int
    grade: str
    shape: str
    lengths: Mapping[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Misfit:
    """Why pieces do not fit, how many of those cut, and how many of those still to be cut."""

    reason: Reason
    cut: int
    to_cut: int


def judge(pieces: Pieces, *, asked: Asked | None) -> Misfit | None:
    """Tell which pieces of a mark a later schedule has no use for.

    Source: derived: a piece fits when size, grade, shape and cutting length are those of its mark and the
    schedule asks for as many; of too many, those still to be cut are given up first.

    Args:
        pieces: what is cut and promised under the mark at one length.
        asked: what the later schedule asks for under the mark; None when it has no such mark.

    Returns:
        The misfit; None when all fit.

    >>> old = Pieces(size_mm=10, grade="Fe500", shape="straight", length_mm=2960, cut=20, to_cut=7)
    >>> new = Asked(size_mm=10, grade="Fe500", shape="straight", lengths={2960: 18})
    >>> judge(old, asked=new)
    Misfit(reason=<Reason.NUMBER: 'number'>, cut=2, to_cut=7)
    """
    if not pieces.cut and not pieces.to_cut:
        return None
    reason = _other(pieces, asked=asked)
    if reason is not None:
        return Misfit(reason=reason, cut=pieces.cut, to_cut=pieces.to_cut)
    wanted = asked.lengths[pieces.length_mm] if asked else 0
    too_many = pieces.cut + pieces.to_cut - wanted
    if too_many <= 0:
        return None
    given_up = min(too_many, pieces.to_cut)
    return Misfit(reason=Reason.NUMBER, cut=too_many - given_up, to_cut=given_up)


def _other(pieces: Pieces, *, asked: Asked | None) -> Reason | None:
    """Why none of the pieces fits; None when they are those of the mark."""
    if asked is None:
        return Reason.GONE
    if (pieces.size_mm, pieces.grade, pieces.shape) != (asked.size_mm, asked.grade, asked.shape):
        return Reason.BARS
    return None if pieces.length_mm in asked.lengths else Reason.LENGTH
