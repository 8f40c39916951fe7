"""The report's page in a real browser: for every eye, hand and paper, and shut to the network."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from web.browsing import PHONE, WIDE, Looker
from web.pages import report

pytestmark = pytest.mark.chromium
WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
"""axe-core's rules for WCAG 2.2 A and AA, and its best practices"""
HOSTILE = (
    "<img src=x onerror=\"document.title='taken'\"><script>document.title='taken'</script></script></style></svg>"
    "\"><svg onload=\"document.title='taken'\"><b style='position:fixed;inset:0'>{{ 7 * 7 }} \u202etxt.exe\u202c \u2066"
    "https://example.org/x.png javascript:document.title='taken'"
)
TALL, BROAD = {"A4": 297, "Letter": 279.4}, {"A4": 210, "Letter": 215.9}
"""mm (ISO 216; ANSI/ASME Y14.1)"""


def violations(page: Page) -> list[str]:
    """What axe-core finds, each with where."""
    found: Any = Axe().run(page, options={"runOnly": WCAG}).response["violations"]
    return [f"{one['id']}: {node['html'][:160]} {node['failureSummary']}" for one in found for node in one["nodes"]]


@pytest.mark.parametrize(("size", "scheme"), [(WIDE, "light"), (PHONE, "dark")])
def test_axe_finds_nothing(look: Looker, size: tuple[int, int], scheme: Any) -> None:
    page = look(report(), size, scheme)
    page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
    assert violations(page) == []


def test_axe_would_find_something(look: Looker) -> None:
    assert violations(look(report().replace('lang="en"', "").replace(' alt="', ' data-alt="')))


def test_nothing_is_asked_of_the_network_and_nothing_is_refused(look: Looker) -> None:
    page = look(report())
    page.locator("details").first.click()
    assert (look.asked, look.said) == ([], [])
    assert page.locator("img").evaluate_all("all => all.every(one => one.complete && one.naturalWidth > 0)")


def test_what_a_plan_says_stays_words(look: Looker) -> None:
    page = look(report(HOSTILE))
    page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
    assert (look.asked, look.said) == ([], [])
    assert "taken" not in page.title()[:20]
    expect(page.locator("h1")).to_contain_text("<img src=x onerror=")
    expect(page.locator("h1")).to_contain_text("{{ 7 * 7 }} \\u{202e}txt.exe\\u{202c} \\u{2066}")
    assert page.locator("script").count() == 1
    assert page.locator("[onload], [onerror], [style], img[src^=http], a[href^=http]").count() == 0


@pytest.mark.parametrize(
    "injected",
    [
        "<script>document.title = 'taken'</script>",
        "<img src=x onerror=\"document.title = 'taken'\">",
        "<svg onload=\"document.title = 'taken'\"></svg>",
        "<p id=styled style='color: rgb(1, 2, 3)'>x</p>",
        "<style>h1 { color: rgb(1, 2, 3) }</style>",
        "<img src=https://example.org/x.png>",
        "<iframe src=https://example.org></iframe>",
        "<link rel=stylesheet href=https://example.org/x.css>",
    ],
)
def test_the_policy_stops_what_gets_into_the_page_all_the_same(look: Looker, injected: str) -> None:
    page = look(report().replace("<main", f"{injected}<main"))
    page.wait_for_load_state()
    assert page.title() != "taken"
    assert [url for url in look.asked if "example.org" in url] == []
    assert any("Content Security Policy" in said for said in look.said)
    coloured = page.evaluate("[...document.querySelectorAll('h1, #styled')].map(one => getComputedStyle(one).color)")
    assert "rgb(1, 2, 3)" not in coloured


def test_nothing_scrolls_sideways_on_a_phone_but_what_is_wide_in_its_own_frame(look: Looker) -> None:
    page = look(report("an-uncommonly-long-name-without-any-blank-in-it-that-could-be-broken-0123456789"), PHONE)
    page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
    across, beyond = page.evaluate(
        """() => [document.documentElement.scrollWidth,
        [...document.querySelectorAll('body *')].filter(one => !one.closest('.wide') && !one.matches('.unseen, .skip')
        && one.getBoundingClientRect().right > innerWidth + 0.5).map(one => one.outerHTML.slice(0, 100))]"""
    )
    assert (across, beyond) == (PHONE[0], [])
    wide = page.locator(".wide").evaluate_all(
        "all => all.map(one => [one.scrollWidth > one.clientWidth, one.tabIndex === 0])"
    )
    assert any(scrolls for scrolls, _ in wide)
    assert all(scrolls == stop for scrolls, stop in wide if scrolls)


def test_by_keyboard_past_the_contents_to_the_report(look: Looker) -> None:
    page = look(report())
    page.keyboard.press("Tab")
    expect(page.locator(".skip")).to_be_focused()
    expect(page.locator(".skip")).to_be_in_viewport()
    page.keyboard.press("Enter")
    expect(page.locator("#main")).to_be_focused()


def test_frames_are_switched_by_the_arrow_keys(look: Looker) -> None:
    page = look(report())
    first = page.locator("#camera-1")
    day, night = first.locator("figure").nth(0), first.locator("figure").nth(1)
    expect(day).to_be_visible()
    expect(night).to_be_hidden()
    first.get_by_role("radio", name="by day").focus()
    page.keyboard.press("ArrowRight")
    expect(first.get_by_role("radio", name="by night")).to_be_checked()
    expect(night).to_be_visible()
    expect(day).to_be_hidden()
    ring = first.locator("input:checked + label").evaluate("one => getComputedStyle(one).outlineStyle")
    assert ring == "solid"
    expect(page.locator("#camera-2 figure").first).to_be_visible()


def test_frames_are_switched_without_scripts_too(look: Looker) -> None:
    page = look(report(), java_script_enabled=False)
    page.locator("#camera-1 label", has_text="by night").click()
    expect(page.locator("#camera-1 figure").nth(1)).to_be_visible()
    expect(page.locator("#camera-1 figure").nth(0)).to_be_hidden()


def test_a_mark_on_the_drawing_leads_to_its_finding_and_the_finding_back(look: Looker) -> None:
    page = look(report())
    mark = page.locator("#mark-2")
    mark.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#finding-2")).to_be_focused()
    expect(page.locator("#finding-2")).to_be_in_viewport()
    assert "finding 2, " in (mark.get_attribute("aria-label") or "")
    page.locator("#finding-2 a", has_text="on the drawing").focus()
    page.keyboard.press("Enter")
    expect(mark).to_be_focused()
    expect(mark).to_be_in_viewport()


def test_a_mark_is_pressed_on_its_number(look: Looker) -> None:
    page = look(report())
    page.locator("#mark-3").click()
    expect(page.locator("#finding-3")).to_be_in_viewport()
    assert page.url.endswith("#finding-3")


def test_a_link_into_a_closed_rule_page_opens_it(look: Looker) -> None:
    page = look(report())
    link = page.locator("#finding-1 a", has_text="why, and how")
    code = (link.get_attribute("href") or "").removeprefix("#about-")
    expect(page.locator(f"#about-{code}")).to_be_hidden()
    link.click()
    expect(page.locator(f"#about-{code}")).to_be_visible()
    expect(page.locator(f"#about-{code}")).to_be_in_viewport()


def test_what_is_pressed_is_large_enough_for_a_finger(look: Looker) -> None:
    page = look(report(), PHONE)
    small = page.locator("nav a, summary, .switch label, .ways a").evaluate_all(
        "all => all.filter(one => one.checkVisibility() && one.getBoundingClientRect().height < 24)"
        ".map(one => one.outerHTML)"
    )
    assert small == []


def test_motion_is_only_for_those_who_want_it(look: Looker) -> None:
    still = "getComputedStyle(document.documentElement).scrollBehavior"
    assert look(report()).evaluate(still) == "smooth"
    assert look(report(), reduced_motion="reduce").evaluate(still) == "auto"


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_it_prints_open_and_leaves_to_the_screen_what_is_long(look: Looker, paper: str, tmp_path: Path) -> None:
    margins = 28, 32  # mm across and down, as the print sheet has them
    across, down = ((BROAD[paper] - margins[0]) / 25.4 * 96, (TALL[paper] - margins[1]) / 25.4 * 96)
    page = look(report(), (round(across), 900))
    page.emulate_media(media="print")
    boxes = page.locator(".card > *").evaluate_all("all => all.map(one => one.getBoundingClientRect().toJSON())")
    assert len(boxes) == len(re.findall("<figure", report()))
    for box in boxes:
        assert box["width"] > 100, "a hidden frame is not printed"
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= across + 1
        assert box["height"] <= down
    assert page.evaluate("document.documentElement.scrollWidth") <= round(across)
    closed = "[...document.querySelectorAll('details > :not(summary)')].filter(one => !one.checkVisibility())"
    left = page.evaluate(f"{closed}.map(one => one.closest('#rules, .words, .findings') !== null)")
    assert all(left)
    for told in (
        "#glance",
        "#drawing",
        "#findings .sentence",
        "#cameras",
        "#power",
        "#open",
        "#assumed",
        "#small-print",
    ):
        assert page.locator(told).first.is_visible(), told
    printed = page.pdf(path=tmp_path / "page.pdf", format=paper)
    sizes = {tuple(map(float, box.split())) for box in re.findall(rb"/MediaBox \[0 0 ([\d. ]+)\]", printed)}
    points = BROAD[paper] / 25.4 * 72, TALL[paper] / 25.4 * 72
    assert [size == pytest.approx(points, abs=1) for size in sizes] == [True], sizes
