"""What a request came from, in a few words for the record of acts."""

from __future__ import annotations

import re

_PROGRAM = re.compile(r"([A-Za-z][\w.-]{0,30})/(\d{1,6})")
_SHARED = {"Mozilla", "AppleWebKit", "Version", "Mobile", "Gecko", "Safari"}
"""Names that nearly every browser gives, whichever it is."""


def described(user_agent: str) -> str:
    """Describe the sender: phone, tablet or computer, or a program, and the name and version that it gives.

    >>> described("Mozilla/5.0 (Linux; Mobile; rv:128.0) Gecko/128.0 Example/128.0")
    'phone, Example 128'
    >>> described("example-client/2.1")
    'program, example-client 2'
    >>> described("")
    ''
    """
    if not user_agent:
        return ""
    named = [(name, version) for name, version in _PROGRAM.findall(user_agent) if name not in _SHARED]
    program = f", {named[0][0]} {named[0][1]}" if named else ""
    return f"{_kind(user_agent)}{program}"[:80]


def _kind(user_agent: str) -> str:
    if not user_agent.startswith("Mozilla/"):
        return "program"
    if "Mobi" in user_agent:
        return "phone"
    return "tablet" if "Tablet" in user_agent else "computer"
