"""The drawing as SVG: one picture with a name and a description, in classes and tokens only."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

from django.template import Context, Template

from tests.estimates.calc import drawn_slabs

SVG = "{http://www.w3.org/2000/svg}"


def svg(*, tag: str = "{% slab_drawing design %}", **changes: Any) -> str:
    design = drawn_slabs.read(drawn_slabs.ROOF, **changes)
    html = Template("{% load slab_drawing %}" + tag).render(Context({"design": design}))
    found = re.search(r"<svg.*</svg>", html, re.DOTALL)
    assert found is not None
    return found.group().replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)


def test_drawing_is_well_formed_and_says_what_it_shows() -> None:
    root = ElementTree.fromstring(svg())  # noqa: S314 - our own template

    assert root.findtext(f"{SVG}title") == "Roof over hall: plan"
    assert root.findtext(f"{SVG}desc") == (
        "The slab measures 9200 by 8000 mm over all and is 125 mm thick. It has 6 beams. It has 2 openings."
    )


def test_drawing_is_named_by_its_own_title_and_description() -> None:
    root = ElementTree.fromstring(svg(tag="{% slab_drawing design id='second' %}"))  # noqa: S314 - as above
    ids = {element.get("id") for element in root.iter() if element.get("id")}

    assert set(root.get("aria-labelledby", "").split()) < ids
    assert ids == {"second-title", "second-desc", "second-concrete"}


def test_drawing_carries_no_style_and_no_colour_of_its_own() -> None:
    assert re.findall(r'style=|#[0-9a-f]{3,6}"|stroke="|<style|<script', svg()) == []


def test_names_of_the_sheet_are_escaped() -> None:
    opening = {"name": "<script>", "outline": [[1000, 1000], [2000, 1000], [2000, 2000], [1000, 2000]]}
    drawn = svg(slab="Roof & <b>", openings=[opening])

    assert "&lt;script&gt;" in drawn
    assert "Roof &amp; &lt;b&gt;: plan" in drawn


RULE = {"mark": "S1", "size_mm": 10, "direction": "x", "spacing_mm": 150, "layer": "bottom"}


def test_mark_on_the_plan_and_its_line_lead_to_each_other() -> None:
    linked = ElementTree.fromstring(  # noqa: S314 - our own template
        svg(tag="{% slab_drawing design linked=True %}", spacing_rules=[RULE])
    )
    group = next(element for element in linked.iter() if element.get("id") == "plan-steel.mark.S1")

    assert [link.get("href") for link in group.iter(f"{SVG}a")] == ["#line-steel.mark.S1"]
    # 7960 mm between the covers at 150 give 54 bars along x; every fifth is drawn, the stair cuts some.
    drawn = group.findtext(f".//{SVG}text"), group.find(f"{SVG}path")
    assert drawn[0] == "S1"
    assert drawn[1] is not None
    assert 10 <= drawn[1].get("d", "").count("M") <= 12


def test_drawing_without_links_stays_one_picture() -> None:
    root = ElementTree.fromstring(svg(spacing_rules=[RULE]))  # noqa: S314 - our own template

    assert root.get("role") == "img"
    assert list(root.iter(f"{SVG}a")) == []
