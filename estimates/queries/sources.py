"""Where a figure comes from, in words: the document's title, the clause, and how we came to know it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Final

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from estimates.standards import load

_KNOWN: Final[dict[str, Promise]] = {
    "read": gettext_lazy("read in the document"),
    "secondary": gettext_lazy("as others quote it"),
    "memory": gettext_lazy("from memory, not checked in the document"),
    "derived": gettext_lazy("worked out"),
    "common practice": gettext_lazy("common practice"),
}
_CITATION: Final = re.compile(
    r"(?P<before>.*; in place of [^,]*, )?(?P<id>[a-z0-9-]+)(?:, (?P<clause>.+?))?"
    rf"(?: \((?P<known>{'|'.join(_KNOWN)})\))?",
    re.DOTALL,
)


def worked(working: Mapping[str, Any]) -> dict[str, Any]:
    """Return the working of a line with all its sources in words."""
    found = {**working, "source": in_words(working["source"])}
    found["inputs"] = {
        name: {**item, "source": in_words(item["source"])} for name, item in working["inputs"].items()
    }
    for name in ("allowance_percent", "pack"):
        if found.get(name):
            found[name] = {**found[name], "source": in_words(found[name]["source"])}
    return found


def in_words(citation: str) -> str:
    """Return a citation as a line or a finding keeps it with the document's title for its id.

    What is no citation of a document, as "the drawing", is returned as it stands.
    """
    read = _CITATION.fullmatch(citation)
    source = None if read is None else load.profile("is").sources.get(read["id"])
    if read is None or source is None:
        return citation
    place = f"{source.title} ({source.edition})"
    if read["clause"]:
        place = f"{place}, {read['clause']}"
    if read["known"]:
        place = _("%(place)s – %(known)s") % {"place": place, "known": _KNOWN[read["known"]]}
    return f"{read['before'] or ''}{place}"
