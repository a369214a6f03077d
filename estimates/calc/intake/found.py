"""What is found in a file: facts with their place, faults, and questions with their possible answers.

A question is never answered by the tool: what it would propose stands beside the question, and the answer is
a person's.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

Answers = Mapping[str, str]
"""Answers by the id of their question."""

About = Literal["plan", "bars"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LineFault:
    """What cannot be used, and on which line, counted from 1 as spreadsheets do; 0 is the whole file."""

    line: int = 0
    column: str = ""
    code: str
    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """Something that the file says outside of its table or outlines, with the words it was read from."""

    name: str
    value: str
    words: str
    line: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One possible answer."""

    value: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What a person has to say before the file can be used; `suggested` is a proposal, never an answer.

    Without choices an answer is typed; with `typed` it may be typed in place of a choice.
    """

    id: str
    about: About
    text: str
    why: str = ""
    choices: tuple[Choice, ...] = ()
    typed: bool = False
    unit: str = ""
    suggested: str = ""
    needed: bool = True


class Unreadable(ValueError):  # noqa: N818 - the name says what the file is
    """A file that cannot be read at all, with every reason found."""

    def __init__(self, faults: Iterable[LineFault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(fault.message for fault in self.faults))


def refuse(code: str, message: str) -> Unreadable:
    """Makes the refusal of a whole file.

    Source: derived: one fault that stands for the file.

    Args:
        code: stable code of the reason.
        message: what is wrong and what to do.

    Returns:
        The exception to raise.

    >>> refuse("empty", "the file is empty; send the schedule").faults[0].code
    'empty'
    """
    return Unreadable([LineFault(code=code, message=message)])
