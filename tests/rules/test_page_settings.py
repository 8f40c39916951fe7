"""The settings a page shows are settings the rule has."""

import re

import pytest

from oneclimb import kit
from oneclimb.register import page_path

SHOWN = re.compile(r"`(settings:\s*\{.*?\}\})`", re.DOTALL)


def page(code: str) -> str:
    """The text of a rule's page."""
    return page_path(type(kit.packs().rules[code])).read_text(encoding="utf-8")


ALL = [(code, snippet) for code in sorted(kit.packs().rules) for snippet in SHOWN.findall(page(code))]


@pytest.mark.parametrize(("code", "snippet"), ALL)
def test_settings_shown_on_a_page_are_accepted(code: str, snippet: str) -> None:
    assert f"{{{code}:" in snippet
    review = kit.look(kit.plans(page(code))[1] + " ".join(snippet.split()) + "\n")
    assert review.loaded.faults == ()
