"""The sample sheets as the browser of a person sees them: reach, contrast, targets, policy, paper."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.projects import look

pytestmark = pytest.mark.browser

NAMES = ("styleguide", "refused", "sign-in", "404", "500")
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}


@pytest.fixture(scope="module")
def html() -> dict[str, str]:
    return look.pages()


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("width", [320, 768, 1280])
def test_sheets_have_no_accessibility_fault_and_no_sideways_scroll(
    html: dict[str, str], width: int, dark: bool
) -> None:
    faults = {}
    with look.browser_page(html, width=width, dark=dark) as page:
        for name in NAMES:
            page.goto(look.ADDRESS + name)
            found = [v["id"] for v in Axe().run(page, options=RULES).response["violations"]]
            wide = page.evaluate("document.documentElement.scrollWidth")
            faults[name] = (found, wide)

    assert faults == dict.fromkeys(NAMES, ([], width))


def test_sheets_keep_the_content_policy(html: dict[str, str]) -> None:
    said: list[str] = []
    with look.browser_page(html, width=1280) as page:
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        for name in NAMES:
            page.goto(look.ADDRESS + name, wait_until="networkidle")
        has_htmx = page.goto(look.ADDRESS + "styleguide") and page.evaluate("htmx.config.allowEval")

    assert said == []
    assert has_htmx is False


SIZES = """
[...document.querySelectorAll('button, .button, input:not([type=hidden]), select, textarea, summary, nav a')]
  .filter(e => e.checkVisibility())
  .map(e => { const box = (e.closest('label') || e).getBoundingClientRect();
              return [e.textContent.trim() || e.name, Math.round(box.height)] })
  .filter(([, height]) => height < LEAST)
"""


def test_controls_of_a_form_on_a_phone_are_48_px_high(html: dict[str, str]) -> None:
    within = SIZES.replace("document.", "document.querySelector('#receipt').").replace("LEAST", "48")
    with look.browser_page(html, width=320) as page:
        page.goto(look.ADDRESS + "styleguide")

        assert page.evaluate(within) == []


def test_every_control_is_at_least_24_px_high(html: dict[str, str]) -> None:
    with look.browser_page(html, width=1280) as page:
        page.goto(look.ADDRESS + "styleguide")

        assert page.evaluate(SIZES.replace("LEAST", "24")) == []


def test_lettering_of_the_drawing_reads_on_the_narrowest_phone(html: dict[str, str]) -> None:
    heights = """[...document.querySelectorAll('.drawing text')].filter(e => e.checkVisibility())
        .map(e => parseFloat(getComputedStyle(e).fontSize) * e.ownerSVGElement.getScreenCTM().a)"""
    with look.browser_page(html, width=320) as page:
        page.goto(look.ADDRESS + "styleguide")

        assert min(page.evaluate(heights)) >= 12


def test_figure_opens_its_working_without_script(html: dict[str, str]) -> None:
    with look.browser_page(html, width=1280, script=False) as page:
        page.goto(look.ADDRESS + "styleguide")
        working = page.locator("tr.derivation").nth(1)
        before = working.is_visible()
        page.locator(".opens summary").nth(1).click()

        assert (before, working.is_visible()) == (False, True)


def test_menu_of_the_phone_opens_without_script(html: dict[str, str]) -> None:
    with look.browser_page(html, width=320, script=False) as page:
        page.goto(look.ADDRESS + "styleguide")
        page.locator("summary", has_text="Menu").click()

        assert page.locator(".menu-list a").all_inner_texts() == [entry["label"] for entry in look.NAV]


def test_first_tab_leads_past_the_list(html: dict[str, str]) -> None:
    with look.browser_page(html, width=1280) as page:
        page.goto(look.ADDRESS + "styleguide")
        page.keyboard.press("Tab")
        page.keyboard.press("Enter")

        assert page.evaluate("document.activeElement.id") == "sheet"


def test_refused_form_starts_at_its_summary(html: dict[str, str]) -> None:
    with look.browser_page(html, width=320) as page:
        page.goto(look.ADDRESS + "refused")

        assert page.evaluate("document.activeElement.className") == "notice notice-stop"


def test_focus_is_visible_on_every_kind_of_control(html: dict[str, str]) -> None:
    with look.browser_page(html, width=1280) as page:
        page.goto(look.ADDRESS + "styleguide")
        widths = []
        for _ in range(40):
            page.keyboard.press("Tab")
            widths.append(page.evaluate("getComputedStyle(document.activeElement).outlineWidth"))

    assert set(widths) == {"3px"}


def test_phone_page_is_light(html: dict[str, str]) -> None:
    loaded: list[int] = []
    with look.browser_page(html, width=320) as page:
        page.on("response", lambda response: loaded.append(len(response.body())))
        page.goto(look.ADDRESS + "refused", wait_until="networkidle")

    # Uncompressed here; the service sends a third of it. html, 3 stylesheets, 3 scripts, 1 mark.
    assert len(loaded) <= 8
    assert sum(loaded) <= 130_000


def test_paper_leaves_out_the_screen(html: dict[str, str]) -> None:
    with look.browser_page(html, width=1280, dark=True) as page:
        page.goto(look.ADDRESS + "styleguide")
        page.emulate_media(media="print")
        seen = [page.locator(part).first.is_visible() for part in (".margin", ".actions", ".title-block")]
        ink = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")

    assert seen == [False, False, True]
    assert ink == "rgb(255, 255, 255)"
