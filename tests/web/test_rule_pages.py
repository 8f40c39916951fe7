"""Rules' pages within a page: their text whole, the plans left out, nothing of it run or fetched."""

from __future__ import annotations

import re

import html5lib
import pytest

from oneclimb import kit
from oneclimb.web.rule_pages import as_html, rule_pages


@pytest.mark.parametrize("code", ["GLARE-01", "POWER-03", "LOCAL-01"])
def test_every_heading_but_the_plans_is_there(code: str) -> None:
    (made,) = rule_pages([code, code, "PLAN-90"], kit.packs())
    headings = re.findall(r"<h4>(.*?)</h4>", made.html)
    assert headings == [one for one in kit.HEADINGS if not one.startswith("A plan that")]
    assert (made.code, made.title) == (code, kit.packs().rules[code].info.title)


def test_every_page_of_ours_becomes_html_without_an_error() -> None:
    for made in rule_pages(kit.packs().rules, kit.packs()):
        html5lib.HTMLParser(strict=True).parseFragment(made.html)
        assert "```" not in made.html


def test_html_scripts_and_pictures_in_a_page_stay_text() -> None:
    html = as_html("# X\n\n<script>a</script> [x](javascript:alert(1)) ![y](https://example.org/a.png)\n", 2)
    assert "<script" not in html
    assert "<img" not in html
    assert 'href="javascript' not in html


def test_what_is_unseen_in_a_page_is_written_out() -> None:
    html = as_html(
        '# X\n\n\x1b[31m \u202e `\u2066` [x](https://example.org/ "\u202e")\n\n```\u202e\n\x07\n\u202e\n```\n', 2
    )
    assert not re.search("[\x00-\x09\x0b-\x1f\u202a-\u202e\u2066-\u2069]", html)
    assert html.count(r"\u{202e}") == 4
    assert r"<code>\u{2066}</code>" in html


def test_tables_are_tables() -> None:
    html = as_html("# X\n\n## Levels\n\n| a | b |\n| --- | --- |\n| 1 | 2 |\n", 2)
    assert "<h4>Levels</h4>" in html
    assert '<table class="plain">' in html
