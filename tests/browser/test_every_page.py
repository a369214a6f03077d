"""Every page that a role can reach: answers, fits, and stands in nobody's way."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from tests.browser.browser import NOTHING_BUT_CONTRAST, Visitor

MOST_PAGES = 160
FEWEST_PAGES = {"asha": 40, "imran": 18, "olive": 22}

# All rules in one theme, and those of colour, the only ones that a theme can change, in the other.
# The middle width has the layout of one of the others: it only has to fit.
WIDTHS = (1280, 768, 320)
THEMES = {1280: ("dark", "light"), 320: ("light", "dark")}
# A page that somebody else was shown before differs in little: it is looked at once more on the phone.
AGAIN = {320: ("light",)}


def _is_first(path: str, *, looked_at: Path) -> bool:
    """Say whether nobody was shown such a page yet, and note that now somebody is."""
    try:
        (looked_at / _shape(path).replace("/", "_")).touch(exist_ok=False)
    except FileExistsError:
        return False
    return True


def _shape(path: str) -> str:
    figure = re.sub(r"^/standards/[^/]+/[^/]+/$", "/standards/profile/figure/", path)
    return re.sub(r"\d+", "N", figure)


def _links(visitor: Visitor) -> list[str]:
    # Read as written: the address of a link in a drawing is no plain text to a script.
    written = "found => found.map(a => new URL(a.getAttribute('href'), document.baseURI).href)"
    hrefs = visitor.page.eval_on_selector_all("a[href]", written)
    own = [urlsplit(h) for h in hrefs if h.startswith(visitor.address)]
    # A file to keep is not a page; it is fetched by the tests of its own.
    kept = re.compile(r"\.(csv|json|xlsx|xml|pdf|svg)$|/as-received/|/pdf/$|/designs/\d+/sheet/")
    return [part.path for part in own if not kept.search(part.path)]


def _walk(visitor: Visitor) -> Iterator[str]:
    """Follow the links from Today, one example for each shape of address, and stop at each page."""
    waiting, seen = ["/"], {"/"}
    for path in waiting:
        status = visitor.go(path)
        assert status == 200, (path, status)
        new = {_shape(found): found for found in reversed(_links(visitor)) if _shape(found) not in seen}
        seen |= set(new)
        waiting += new.values()
        assert len(waiting) <= MOST_PAGES, "more pages than the walk allows for"
        yield path


def _resize(visitor: Visitor, width: int) -> None:
    """Show the page at this width; on a phone at its whole height, so that the bar lies over nothing."""
    page = visitor.page
    page.set_viewport_size({"width": width, "height": 900})
    if width == 320:
        whole = page.evaluate("document.documentElement.scrollHeight")
        page.set_viewport_size({"width": width, "height": whole + 200})


def _barriers(visitor: Visitor, width: int, *, themes: dict[int, tuple[str, ...]]) -> list[str]:
    found = []
    for theme, rules in zip(themes.get(width, ()), (None, NOTHING_BUT_CONTRAST), strict=False):
        visitor.page.emulate_media(color_scheme=theme)
        found += visitor.barriers(rules=rules) if rules else visitor.barriers()
    return found


@pytest.mark.parametrize("who", ["asha", "imran", "olive"])
def test_every_page_answers_fits_and_has_no_barrier(visitor, looked_at, who):
    pages, wide, barred = [], [], {}
    with visitor(who) as seen:
        for path in _walk(seen):
            pages.append(path)
            themes = THEMES if _is_first(path, looked_at=looked_at) else AGAIN
            for width in WIDTHS:
                _resize(seen, width)
                if seen.is_too_wide():
                    wide.append((path, width))
                if found := _barriers(seen, width, themes=themes):
                    barred[path, width] = found

    assert (wide, barred) == ([], {})
    assert len(pages) >= FEWEST_PAGES[who], pages
