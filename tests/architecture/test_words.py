"""No word of a page stands outside gettext."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
ATTRIBUTES_ONLY = {"box_state.html"}  # written inside a tag: it has no text at all
TEMPLATES = sorted(
    path
    for app in ("projects", "estimates", "inventory")
    for path in (ROOT / app).rglob("*.html")
    if path.name not in ATTRIBUTES_ONLY
)

GONE = (
    re.compile(r"\{% comment %\}.*?\{% endcomment %\}", re.DOTALL),
    re.compile(r"\{#.*?#\}"),
    re.compile(r"\{% blocktranslate.*?%\}.*?\{% endblocktranslate %\}", re.DOTALL),
)
SPOKEN = re.compile(r"""\b(?:aria-label|title|alt|placeholder)="([^"{]*)""")
WORD = re.compile(r"[A-Za-z]{2,}")
NAMES = {"Pourtally", "JSON", "CSV", "SHA", "mm", "m²", "m³"}


def _loose_words(text: str) -> set[str]:
    for pattern in GONE:
        text = pattern.sub(" ", text)
    text = re.sub(r"\{%.*?%\}|\{\{.*?\}\}", " ", text, flags=re.DOTALL)
    spoken = " ".join(SPOKEN.findall(text))
    shown = re.sub(r"<[^>]*>", " ", text)
    shown = re.sub(r"&[a-z]+;", " ", shown)
    return set(WORD.findall(f"{shown} {spoken}")) - NAMES


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda p: str(p.relative_to(ROOT)))
def test_template_has_no_word_outside_gettext(path):
    assert _loose_words(path.read_text(encoding="utf-8")) == set()


def test_a_loose_word_would_be_noticed():
    assert _loose_words('<p title="Slab">{% translate "x" %} 12 bags</p>') == {"Slab", "bags"}
