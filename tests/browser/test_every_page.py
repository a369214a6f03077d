"""Every page that a role can reach: answers, fits, and stands in nobody's way."""

from __future__ import annotations

import re
from urllib.parse import urlsplit

import pytest

MOST_PAGES = 60

# On a phone so tall that the bar at thumb height lies over nothing: what it covers can be scrolled clear.
WINDOWS = ((1280, 900, "dark"), (768, 900, "light"), (320, 20_000, "light"))


def _shape(path: str) -> str:
    return re.sub(r"\d+", "N", path)


def _links(visitor) -> list[str]:
    hrefs = visitor.page.eval_on_selector_all("a[href]", "found => found.map(a => a.href)")
    own = [urlsplit(h) for h in hrefs if h.startswith(visitor.address)]
    # A file to keep is not a page; it is fetched by the tests of its own.
    return [part.path for part in own if not re.search(r"\.(csv|json)$|/csv/|/file/|/sheet/", part.path)]


def _reachable(visitor) -> list[str]:
    """Walk the links from Today, one example for each shape of address."""
    waiting, seen, pages = ["/"], {"/"}, []
    while waiting and len(pages) < MOST_PAGES:
        path = waiting.pop(0)
        status = visitor.go(path)
        assert status == 200, (path, status)
        pages.append(path)
        for found in _links(visitor):
            if _shape(found) not in seen:
                seen.add(_shape(found))
                waiting.append(found)
    assert not waiting, "more pages than the walk allows for"
    return pages


@pytest.fixture(scope="module")
def walked():
    return {}


def _pages(visitor, who, walked):
    if who not in walked:
        with visitor(who) as seen:
            walked[who] = _reachable(seen)
    return walked[who]


@pytest.mark.parametrize("who", ["asha", "imran", "olive"])
def test_every_link_leads_to_a_page(visitor, who, walked):
    pages = _pages(visitor, who, walked)

    assert len(pages) >= 8, pages


@pytest.mark.parametrize("who", ["asha", "imran", "olive"])
def test_pages_fit_and_have_no_barrier(visitor, who, walked):
    wide, barred = [], {}
    with visitor(who) as seen:
        for path in _pages(visitor, who, walked):
            seen.go(path)
            for width, height, scheme in WINDOWS:
                seen.page.set_viewport_size({"width": width, "height": height})
                seen.page.emulate_media(color_scheme=scheme)
                if seen.is_too_wide():
                    wide.append((path, width))
                # The middle width has the layout of one of the others: it only has to fit.
                found = [] if width == 768 else seen.barriers()
                if found:
                    barred[path, width] = found

    assert (wide, barred) == ([], {})
