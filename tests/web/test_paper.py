"""What every page is written on: its policy, and that no text gets out but quoted and escaped."""

from __future__ import annotations

import base64
import hashlib
import re

import pytest
from jinja2 import UndefinedError
from markupsafe import Markup

from oneclimb.web.paper import Outfit, environment, written
from web.pages import report


def test_the_policy_names_the_one_style_and_the_one_script_by_their_digests() -> None:
    html = report()
    (policy,) = re.findall(r'http-equiv="Content-Security-Policy" content="([^"]*)"', html)
    parts = dict(part.split(" ", 1) for part in policy.replace("&#39;", "'").split("; "))
    for name, tag in (("style-src", "style"), ("script-src", "script")):
        (content,) = re.findall(rf"<{tag}>(.*?)</{tag}>", html, flags=re.DOTALL)
        assert parts.pop(name) == f"'sha256-{base64.b64encode(hashlib.sha256(content.encode()).digest()).decode()}'"
    nothing = dict.fromkeys(("default-src", "base-uri", "form-action"), "'none'")
    assert parts == {**nothing, "img-src": "data:"}
    assert html.index("Content-Security-Policy") < html.index("<style>")


def test_a_page_may_call_home_only_where_it_is_said() -> None:
    values = {"title": "t", "file": "f", "summary": "s", "broken": [], "faults": [], "versions": ["v"]}
    html = written("faults.html.j2", Outfit(("page.css",), connect="'self'"), **values)
    assert "connect-src &#39;self&#39;" in html
    assert "script-src" not in html
    assert "<script" not in html


@pytest.mark.parametrize("where", ["{{ a }}", '<p title="{{ a }}">', "{{ a ~ '' }}", "{% set b = a %}{{ b }}"])
def test_every_value_is_quoted_and_escaped(where: str) -> None:
    shown = environment().from_string(where).render(a="\u202e<b>\"'&\n::x")
    assert "\\u{202e}&lt;b&gt;&#34;&#39;&amp;\\n" in shown


def test_what_is_undefined_is_a_fault_and_our_own_markup_passes() -> None:
    with pytest.raises(UndefinedError):
        environment().from_string("{{ nothing }}").render()
    assert environment().from_string("{{ a }}").render(a=Markup("<b>")) == "<b>"
