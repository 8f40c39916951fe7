"""The field guide: whole, the same each time, for every eye, and inert whatever a pack's page holds."""

from __future__ import annotations

import base64
import re
from functools import cache
from html import unescape
from pathlib import Path
from typing import Any

import html5lib
import pytest
from msgspec.structs import replace

from oneclimb import kit
from oneclimb.api import Info
from oneclimb.draw import KINDS, Sitting, pictures
from oneclimb.packs import PackCrash
from oneclimb.review import world_of
from oneclimb.web import guide, guide_kinds
from oneclimb.web.guide import Book, book
from oneclimb.web.guide_plans import bare, compared
from web.browsing import PHONE, WIDE, Looker
from web.guides import CODES, COVER, elements, pack, page_of, plan, real
from web.test_page_seen import violations

PAGES = ("index", "CABLE-01", "GLARE-03", "POWER-03")
"""those looked at in the browser"""
EVIL = "<script>document.title='taken'</script><img src=https://example.org/x.png onerror=\"document.title='taken'\">"
HOSTILE = f"""\
{EVIL} [press](javascript:document.title='taken') [go](//example.org/x) ![see](https://example.org/x.png)
<iframe src="https://example.org"></iframe> \x1b[31mred \u202etxt.exe\u202c ::error:: `{EVIL} \x1b[0m` {{{{ 7 * 7 }}}}

## {EVIL} \u202e

#### {EVIL}

```{EVIL} \u202e
{EVIL} \x1b]0;x\x07
```

<style>h1 {{ color: rgb(1, 2, 3) }}</style> [elsewhere](https://example.org/ "{EVIL} \u202e")
"""


@cache
def tree(html: str) -> Any:
    """A page as a browser's own grammar, strict, has it."""
    return html5lib.HTMLParser(strict=True).parse(html)


def one_page(made: Book) -> str:
    """The one page beside the index."""
    (name,) = made.files.keys() - {"index.html"}
    return made.files[name]


def alts(html: str) -> list[str]:
    return [unescape(one) for one in re.findall(r'<img [^>]*alt="([^"]*)"', html)]


# ------------------------------------------------------------------------- the whole


def test_there_is_a_page_a_rule_and_an_index_that_names_each_with_what_it_finds() -> None:
    assert list(real().files) == ["index.html", *(f"{code}.html" for code in CODES)]
    assert real().faults == ()
    index = re.sub(r"<[^>]+>", "", real().files["index.html"])
    for code in CODES:
        assert f"{code} {kit.packs().rules[code].info.title}" in unescape(index)
    assert "A cable that comes into a camera from above, from behind or at the side" in index
    assert re.findall(r", at worst (warning|error)", index) == ["warning", "error", "error", "error"]


@pytest.mark.parametrize("name", ["index", *CODES])
def test_every_page_is_html_and_every_link_and_anchor_leads_somewhere(name: str) -> None:
    trees = {file: tree(html) for file, html in real().files.items()}
    ids = {file: [one.get("id") for one in found.iter() if one.get("id")] for file, found in trees.items()}
    file = f"{name}.html"
    assert len(ids[file]) == len(set(ids[file]))
    labels = [one.get("aria-labelledby") for one in trees[file].iter() if one.get("aria-labelledby")]
    assert set(labels) <= set(ids[file])
    links = [one.get("href") for one in elements(trees[file], "a")]
    assert len(links) >= 5
    for link in links:
        if not link.startswith(("https://", "http://")):
            to, _, anchor = link.partition("#")
            assert (to or file) in trees, link
            assert not anchor or anchor in ids[to or file], link


def test_pages_lead_to_the_one_before_and_the_one_after() -> None:
    turns = [re.findall(r'href="([A-Z-\d]+)\.html" rel="(prev|next)"', real().files[f"{code}.html"]) for code in CODES]
    for i, (found, code) in enumerate(zip(turns, CODES, strict=True)):
        wanted = [(CODES[i - 1], "prev")] if i else []
        wanted += [(CODES[i + 1], "next")] if code != CODES[-1] else []
        assert found == wanted * 2


def test_the_same_rules_give_the_same_bytes_whatever_the_number_of_hands() -> None:
    chosen = ("SEAL-02", "VIEW-01")
    assert book(kit.packs(), chosen).files == book(kit.packs(), chosen, 2).files


def test_whoever_waits_is_told_how_far_it_is() -> None:
    told: list[tuple[int, int]] = []
    book(kit.packs(), ("LINK-06", "PROOF-01"), 1, lambda done, of: told.append((done, of)))
    assert told == [(1, 2), (2, 2)]


# ------------------------------------------------------------------------ the pictures


def test_pictures_are_those_of_the_page_s_own_two_plans() -> None:
    html = real().files["GLARE-03.html"]
    for text, state, count in zip(kit.plans(kit.packs().page("GLARE-03")), ("-lit", ""), (2, 0), strict=True):
        review = kit.look(text)
        sitting = Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY))
        (picture,) = [one for one in pictures(sitting, ["night"]) if one.name == f"night-dome{state}"]
        assert picture.words in alts(html)
        assert len(review.findings) == count
    assert "every lamp lit" in alts(html)[0]
    alone = re.sub(r'<div class="panels".*?</div>', "", html, flags=re.DOTALL)
    assert len({*re.findall(r'src="(data:[^"]+)"', alone)}) == 2
    assert html.count('<div class="panels" role="img"') == 1


def test_levels_and_figures_stand_on_the_plan_that_fails_and_none_on_the_one_that_passes() -> None:
    found = tree(real().files["GLARE-03.html"])
    before, after = (
        [" ".join("".join(part.itertext()).split()) for part in elements(side, "p")]
        for told in elements(found, "div")
        if told.get("class") == "pair told"
        for side in elements(told, "div")
        if side is not told
    )
    assert [one.split(", ")[1] for one in before] == ["error", "note"]
    assert "night view lost: 100 %" in before[0]
    assert re.fullmatch(r"Nothing found in 1 camera; .* night view lost: 0 % \(.*\)", after[0])
    assert len(after) == 1


def test_a_drawing_of_the_site_has_the_mark_where_the_plan_fails_only() -> None:
    shown = re.findall(
        r'<figure class="of-site">.*?<img src="data:image/svg\+xml;base64,([^"]+)".*? alt="([^"]+)"',
        real().files["CABLE-01.html"],
        re.DOTALL,
    )
    (one, failing), (other, passing) = ((base64.b64decode(source), words) for source, words in shown)
    assert "Findings: 1 warning at cable door-cam-cable." in failing
    assert "Findings" not in passing
    assert (one.count(b"#finding-1"), other.count(b"#finding-")) == (1, 0)


def test_a_drawing_that_is_the_same_but_for_the_mark_is_shown_once() -> None:
    html = real().files["SEAL-02.html"]
    assert len(alts(html)) == 1
    assert "Put right, the drawing is the same, without the mark." in html


def test_where_no_kind_of_picture_shows_the_mistake_there_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(guide_kinds, "SHOWS", {"POWER-03": ("no-such-kind",)})
    html = one_page(book(kit.packs(), ["POWER-03"]))
    assert "<img" not in html
    assert "No picture shows this mistake." in html
    assert "of the least volts it needs: 99 %" in html


def test_every_rule_in_the_table_is_there_and_every_kind_that_can_be_drawn_says_what_to_look_at() -> None:
    codes = kit.packs().rules.keys()
    families = {guide_kinds.family(code) for code in codes}
    assert guide_kinds.SHOWS.keys() <= codes | families
    kinds = {wanted.partition(" ")[0] for listed in guide_kinds.SHOWS.values() for wanted in listed}
    assert kinds <= guide_kinds.LOOK.keys()
    for name, kind in guide_kinds.CLOSER:
        code = name if "-" in name else f"{name}-01"
        assert kind in {wanted.partition(" ")[0] for wanted in guide_kinds.shows(code)}
        assert guide_kinds.look(code, kind) == guide_kinds.CLOSER[name, kind] != guide_kinds.LOOK[kind]
    assert kinds & KINDS.keys() >= {"day", "night", "ground", "site"}


def test_the_cover_shows_a_mistake_before_and_after() -> None:
    index = real().files["index.html"]
    assert alts(index) == alts(real().files[f"{COVER}.html"])[:2]
    assert f"{kit.packs().rules[COVER].info.title}</a>: the same camera, as first planned and put right" in index
    assert guide.COVER in kit.packs().rules


# --------------------------------------------------------------------------- the plans


def test_lines_and_words_that_differ_are_marked() -> None:
    left, right = compared("a: 1\nb: 2 m\nc: 3\n", "a: 1\nb: 4 m\nc: 3\nd: 5\n")
    assert [line.differs for line in left] == [False, True, False]
    assert [line.differs for line in right] == [False, True, False, True]
    assert [bit.text for bit in left[1].bits if bit.differs] == ["2 m"]
    assert [bit.text for bit in right[1].bits if bit.differs] == ["4 m"]


def test_the_plan_is_shown_whole_without_the_marks_of_the_tests_and_its_line_has_the_finding_s_number() -> None:
    page = kit.packs().page("GLARE-03")
    found = tree(real().files["GLARE-03.html"])
    shown = [
        ["".join(code.itertext()) for code in elements(listed, "code")]
        for listed in elements(found, "ol")
        if listed.get("class") == "plan"
    ]
    assert shown == [bare(text).splitlines() for text in kit.plans(page)]
    assert not any("->" in line for listed in shown for line in listed)
    lines = [line for listed in elements(found, "ol") if listed.get("class") == "plan" for line in listed]
    numbered = [i for i, line in enumerate(lines, 1) if "finding " in "".join(line.itertext())]
    assert numbered == [mark.line for mark in sorted(kit.marks(kit.plans(page)[0]))]


def test_what_the_command_says_stands_there_word_for_word() -> None:
    said = re.findall(r'<pre class="said">(.*?)</pre>', real().files["SEAL-02.html"], re.DOTALL)
    before, after = (unescape(one).strip().splitlines() for one in said)
    assert re.match(r"before\.plan\.yaml:\d+:\d+: warning: SEAL-02 the cable comes into door-cam ", before[0])
    assert before[1].startswith("before.plan.yaml: 1 warning in 1 camera; ")
    assert len(before) == 2
    assert [line.partition(" in ")[0] for line in after] == ["after.plan.yaml: nothing found"]


# --------------------------------------------------------------------- pages of others


@pytest.mark.parametrize(
    "page",
    [
        "",
        "# SEAL-90: a rule\n",
        "# SEAL-90: a rule\n\nOnly these words.\n",
        "Only these words.\n",
        "## What it finds\n\nOnly these words.\n\n## A plan that fails\n\n```yaml\nOnly: these\n```\n",
        "## A plan that fails\n\nOnly these words.\n\n## A plan that passes\n\nNone.\n",
    ],
)
def test_a_page_without_plans_or_headings_is_shown_plainly(
    page: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    made = book(pack(monkeypatch, tmp_path, page), ["SEAL-90"])
    html = one_page(made)
    assert made.faults == ()
    assert ("Only these words" in html or "Only: these" in html) == ("Only" in page)
    assert "<h1>A rule</h1>" in html
    assert "<img" not in html
    assert "Before and after" not in html
    assert tree(html) is not None
    assert tree(made.files["index.html"]) is not None


def test_a_pack_s_page_has_its_pictures_too(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    made = book(pack(monkeypatch, tmp_path, page_of(plan(), plan(tilt=20))), ["SEAL-90"])
    html = one_page(made)
    assert made.faults == ()
    assert "before.plan.yaml: 1 warning in 1 camera" in html
    assert "after.plan.yaml: nothing found in 1 camera" in html
    assert "Findings: 1 warning at camera cam." in alts(html)[0]
    assert "Of the pack mine." in html


@pytest.mark.parametrize("fails", ["cameras: [{id: cam}]\n", "cameras: [\x07]\n", "a: [\n", "nothing of ours: 1\n"])
def test_plans_that_cannot_be_used_are_shown_with_why(
    fails: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    html = one_page(book(pack(monkeypatch, tmp_path, page_of(fails, plan(tilt=20))), ["SEAL-90"]))
    assert re.search(r"before\.plan\.yaml:\d+:\d+: error: PLAN-\d\d ", html)
    assert "<img" not in html
    assert tree(html) is not None


def test_a_plan_that_brings_nothing_says_so(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    html = one_page(book(pack(monkeypatch, tmp_path, page_of(plan(tilt=20), plan(tilt=20))), ["SEAL-90"]))
    assert html.count("Nothing found in 1 camera") == 2


def test_a_rule_that_falls_over_is_told_on_its_page(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    packs = pack(monkeypatch, tmp_path, page_of(plan(), plan(tilt=20)))
    monkeypatch.setattr(type(packs.rules["SEAL-90"]), "tell", lambda *_: 1 / 0)
    made = book(packs, ["SEAL-90"])
    assert ["ZeroDivisionError" in fault for fault in made.faults] == [True]
    assert "<b>Internal fault:</b> SEAL-90 at camera/cam: ZeroDivisionError" in one_page(made)


def test_a_page_that_cannot_be_read_is_left_out_and_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    made = book(pack(monkeypatch, tmp_path, b"# SEAL-90: \xff\n"), ["SEAL-90"])
    assert list(made.files) == ["index.html"]
    assert ["SEAL-90: 'utf-8' codec" in fault for fault in made.faults] == [True]
    assert "SEAL-90: &#39;utf-8&#39; codec" in made.files["index.html"]


def test_a_pack_that_cannot_be_loaded_is_told_once(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    packs = replace(
        pack(monkeypatch, tmp_path, page_of(plan(), plan(tilt=20))), crashes=(PackCrash("gone", "no luck", ""),)
    )
    made = book(packs, ["SEAL-90"])
    assert made.faults == ("gone: no luck",)
    assert "no luck" in made.files["index.html"]
    assert "no luck" not in one_page(made)


@pytest.fixture
def hostile(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Book:
    """The guide to a pack that wants more than to be read: its page, its plans, its rule's words."""
    named = EVIL.replace("'", "''")
    packs = pack(
        monkeypatch, tmp_path, page_of(plan(named), plan(named, 20), HOSTILE), words=f"{EVIL} \x1b[31m \u202e ::x::"
    )
    assert isinstance(packs.rules["SEAL-90"].info, Info)
    return book(packs, ["SEAL-90"])


def test_nothing_unseen_and_no_element_of_its_own_comes_out_of_a_hostile_page(hostile: Book) -> None:
    for html in hostile.files.values():
        assert not re.search("[\x00-\x09\x0b-\x1f\u202a-\u202e\u2066-\u2069]", html)
        found = tree(html)
        assert list(elements(found, "script", "iframe", "object", "embed", "form", "base")) == []
        assert [one.get("src")[:5] for one in elements(found, "img")] == ["data:"] * len(list(elements(found, "img")))
        assert all(not name.startswith("on") for one in found.iter() for name in one.attrib)
        assert len(list(elements(found, "style"))) == 1
        links = {one.get("href") for one in elements(found, "a") if one.get("href")}
        assert {link for link in links if ":" in link or link.startswith("/")} <= {
            "https://example.org/",
            "https://example.org/x.png",
        }
    assert r"\u{1b}[31mred \u{202e}txt.exe\u{202c}" in one_page(hostile)
    assert "<img" in one_page(hostile)


@pytest.mark.chromium
def test_a_hostile_page_stays_words_in_a_browser(hostile: Book, look: Looker) -> None:
    for html in hostile.files.values():
        page = look(html)
        assert "taken'" in page.title() or "field guide" in page.title()
        assert page.locator("h1").evaluate("one => getComputedStyle(one).color") != "rgb(1, 2, 3)"
    assert (look.asked, look.said) == ([], [])


# -------------------------------------------------------------------------- the browser


@pytest.mark.chromium
@pytest.mark.parametrize(("size", "scheme"), [(WIDE, "light"), (PHONE, "dark")])
@pytest.mark.parametrize("name", PAGES)
def test_axe_finds_nothing_and_nothing_is_asked_of_the_network(
    look: Looker, name: str, size: tuple[int, int], scheme: Any
) -> None:
    page = look(real().files[f"{name}.html"], size, scheme)
    page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
    assert violations(page) == []
    assert (look.asked, look.said) == ([], [])
    assert page.locator("img").evaluate_all("all => all.every(one => one.complete && one.naturalWidth > 0)")
    across, beyond = page.evaluate(
        """() => [document.documentElement.scrollWidth,
        [...document.querySelectorAll('body *')].filter(one => !one.closest('.wide') && !one.matches('.unseen, .skip')
        && one.getBoundingClientRect().right > innerWidth + 0.5).map(one => one.outerHTML.slice(0, 100))]"""
    )
    assert (across, beyond) == (size[0], [])


@pytest.mark.chromium
def test_before_and_after_stand_side_by_side_and_on_a_phone_one_below_the_other(look: Looker) -> None:
    for size, beside in ((WIDE, True), (PHONE, False)):
        page = look(real().files["GLARE-03.html"], size)
        one, other = page.locator(".pair > figure").evaluate_all(
            "all => all.map(one => one.getBoundingClientRect().toJSON())"
        )
        assert (one["y"] == other["y"]) == beside
        assert (one["right"] < other["x"]) == beside
        assert one["width"] == pytest.approx(other["width"], abs=1)


@pytest.mark.chromium
def test_by_keyboard_past_the_turns_to_the_page(look: Looker) -> None:
    page = look(real().files["GLARE-03.html"])
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"


@pytest.mark.chromium
def test_a_page_prints_on_a4_with_its_words_open(look: Looker) -> None:
    across, down = round((210 - 28) / 25.4 * 96), (297 - 32) / 25.4 * 96
    page = look(real().files["GLARE-03.html"], (across, 900))
    page.emulate_media(media="print")
    boxes = page.locator(".card > *").evaluate_all("all => all.map(one => one.getBoundingClientRect().toJSON())")
    assert len(boxes) == 3
    assert all(box["width"] > 100 and box["height"] <= down and box["right"] <= across + 1 for box in boxes)
    assert page.evaluate("document.documentElement.scrollWidth") <= across
    closed = "[...document.querySelectorAll('details > :not(summary)')].filter(one => !one.checkVisibility()).length"
    assert page.evaluate(closed) == 0
