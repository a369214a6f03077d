"""Markup of the base page, the partials and the error pages."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import pytest
from django.conf import settings
from django.contrib.staticfiles import finders
from django.template.loader import render_to_string

from tests.projects import look

TEMPLATES = sorted(
    path
    for app in ("projects", "estimates", "inventory")
    for path in (Path(settings.ROOT) / app / "templates").rglob("*.html")
)


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_template_has_nothing_inline(path: Path) -> None:
    text = path.read_text(encoding="utf-8")

    assert re.findall(r'\sstyle="|<style|\son[a-z]+="|hx-on|javascript:|<script(?![^>]*\ssrc=)', text) == []


@pytest.mark.parametrize(
    ("kind", "mark"), [("enough", "●"), ("warning", "▲"), ("stop", "■"), ("none", "–"), ("", "–")]
)
def test_status_has_a_word_and_a_mark(kind: str, mark: str) -> None:
    html = render_to_string("projects/partials/status.html", {"kind": kind, "words": "late by 2 days"})

    assert re.sub(r"<[^>]+>", "", html).split() == [mark, "late", "by", "2", "days"]


def test_status_escapes_its_words() -> None:
    html = render_to_string("projects/partials/status.html", {"kind": "stop", "words": "<b>held</b>"})

    assert "&lt;b&gt;held&lt;/b&gt;" in html


def cells(html: str) -> dict[str, str]:
    pairs = re.findall(r"<dt>(.*?)</dt><dd>(.*?)</dd>", html, re.DOTALL)
    return {name: " ".join(re.sub(r"<[^>]+>", "", value).split()) for name, value in pairs}


def test_title_block_answers_which_revision() -> None:
    html = render_to_string("projects/partials/title_block.html", look.samples())

    assert cells(html) == {
        "Firm": "Tarn and Daughters",
        "Site": "Hill Lane",
        "Slab": "Roof over hall",
        "Drawing and revision": "HL-S-02 rev. C",
        "Profile and edition": "is-2026.1",
        "As of": "4 May 2026, 09:12 UTC",
    }


def test_title_block_of_a_page_without_a_slab_shows_dashes() -> None:
    html = render_to_string(
        "projects/partials/title_block.html", {"frame": look.FRAME, "title_block": {"document": "Spend"}}
    )

    assert cells(html) == {
        "Firm": "Tarn and Daughters",
        "Site": "–",
        "Sheet": "Spend",
        "Drawing and revision": "–",
        "Profile and edition": "–",
        "As of": "4 May 2026, 09:12 UTC",
    }


def test_list_of_the_firm_marks_where_one_is() -> None:
    html = render_to_string("projects/partials/nav.html", {"nav": look.NAV})

    assert re.findall(r'<a href="(\S+)" aria-current="page">(\w+)</a>', html) == [("/slabs/", "Slabs")]


def test_crumbs_of_a_top_page_are_left_out() -> None:
    assert render_to_string("projects/partials/crumbs.html", {}).strip() == ""


def test_facts_keep_a_zero_and_leave_out_what_is_unknown() -> None:
    facts = [{"name": "a", "value": 0}, {"name": "b", "value": ""}, {"name": "c", "value": None}]

    assert cells(render_to_string("projects/partials/facts.html", {"facts": facts})) == {"a": "0"}


def test_derivation_lists_every_input_with_unit_and_source() -> None:
    line = look.bill_line("Cement", stock="g", net=4_785_178)["working"]
    html = render_to_string("projects/partials/derivation.html", {"line": line, "frame": look.FRAME})
    rows = re.findall(
        r'<th scope="row">(.*?)</th><td class="num">(.*?)</td><td>(.*?)</td><td>(.*?)</td>', html
    )

    assert rows == [
        ("volume", "11.868", "m³", "concrete.net"),
        ("cement_per_m3", "403.2", "kg/m³", "dry factor 1.54, 1440 kg/m³"),
    ]
    assert "volume × cement_per_m3 = 4,785.178 kg" in html


def test_progress_without_a_total_promises_no_share() -> None:
    html = render_to_string("projects/partials/progress.html", {"words": "Working out the plan"})

    assert '<progress aria-label="Working out the plan"></progress>' in html


def test_messages_have_a_word_before_them() -> None:
    levels = ("success", "warning", "error", "info")
    messages = [{"level_tag": level} for level in levels]
    html = render_to_string("projects/partials/messages.html", {"messages": messages})

    assert re.findall(r"<strong>(.*?)</strong>", html) == ["Done:", "Mind:", "Not done:"]


@pytest.mark.parametrize(
    ("name", "heading"),
    [
        ("400.html", "Not understood"),
        ("403.html", "Not yours to do"),
        ("403_csrf.html", "This form has expired"),
        ("404.html", "Not found"),
        ("500.html", "Something broke on our side"),
    ],
)
def test_error_page_needs_no_context(name: str, heading: str) -> None:
    html = render_to_string(name)

    assert re.findall(r"<h1>(.*?)</h1>", html) == [heading]
    assert '<html lang="en">' in html


def test_script_of_htmx_is_the_one_that_was_read() -> None:
    # From the npm registry, htmx.org 2.0.11, dist/htmx.min.js.
    published = "d6fdc75f204e6bdefa99b69bf1e6d4ac69b8a364f77929f45c13476b4000f717"
    found = Path(str(finders.find("projects/vendor/htmx-2.0.11.min.js")))

    assert hashlib.sha256(found.read_bytes()).hexdigest() == published


def test_htmx_may_neither_evaluate_nor_style() -> None:
    html = render_to_string("projects/base.html", look.samples())
    config = re.search(r"name=\"htmx-config\" content='(.*?)'", html)

    assert config is not None
    assert '"allowEval":false,"allowScriptTags":false,"includeIndicatorStyles":false' in config.group(1)
