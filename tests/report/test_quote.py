"""What strangers write into a plan stays text when it leaves."""

from __future__ import annotations

import json
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.report.quote import quote, quote_json, quote_sarif


@pytest.mark.parametrize(
    ("raw", "shown"),
    [
        ("drive-cam", "drive-cam"),
        ("Porte d'entrée 30°", "Porte d'entrée 30°"),
        ("\x1b[31mred", "\\u{1b}[31mred"),
        ("\x9b31m", "\\u{9b}31m"),
        ("a\nb\r\tc", "a\\nb\\r\\tc"),
        ("a\u202eb", "a\\u{202e}b"),
        ("gate\u200b", "gate\\u{200b}"),
        ("gate\u00ad", "gate\\u{ad}"),
        ("\u3164", "\\u{3164}"),
        ("a\u2028b", "a\\u{2028}b"),
        ("\ud800", "\\u{d800}"),
        ("::error::x", ": :error::x"),
        ("the ::add-mask::x", "the : :add-mask::x"),
        (":::x", ": : :x"),
        ("a::b", "a::b"),
        ("##[group]x", "# #[group]x"),
        ("x ##vso[task.y]", "x # #vso[task.y]"),
        ("###", "# # #"),
    ],
)
def test_unseen_characters_and_commands_are_written_out(raw: str, shown: str) -> None:
    assert quote(raw) == shown


@pytest.mark.parametrize(
    ("raw", "shown"),
    [
        ("[click](http://a.example)", "[click] (http://a.example)"),
        ("[click][1]", "[click] [1]"),
        ("{0} and { 12 }", "{ 0 } and { 12 }"),
        ("pipes [two] {a: 1}", "pipes [two] {a: 1}"),
    ],
)
def test_a_sarif_message_has_no_link_and_no_placeholder(raw: str, shown: str) -> None:
    assert quote_sarif(raw) == shown


@given(st.text() | st.text(alphabet=":#[](){}0 a\n\u202e"))
def test_no_text_keeps_an_unseen_character_or_a_command(raw: str) -> None:
    shown = quote(raw)
    assert not [c for c in shown if unicodedata.category(c) in {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}]
    assert "##" not in shown
    assert not any(word.startswith("::") for word in shown.split())
    assert shown.splitlines() in ([], [shown])


@given(st.text() | st.text(alphabet=":#[](){}0 a\n\u202e"))
def test_quoting_twice_changes_nothing_more(raw: str) -> None:
    assert quote(quote(raw)) == quote(raw)
    assert quote_sarif(quote_sarif(raw)) == quote_sarif(raw)


@given(st.text() | st.text(alphabet=":#[](){}0 a\n\u202e"))
def test_json_keeps_the_value_and_holds_nothing_a_host_obeys(raw: str) -> None:
    written = quote_json({"text": raw})
    assert json.loads(written) == {"text": raw}
    assert written.isascii()
    assert "##" not in written


@given(st.recursive(st.none() | st.integers() | st.text(), lambda one: st.lists(one) | st.dictionaries(st.text(), one)))
def test_json_of_any_depth_reads_back(value: object) -> None:
    assert json.loads(quote_json(value)) == value


def test_the_outer_levels_of_json_have_a_line_an_entry() -> None:
    assert quote_json({"a": [1, {"b": {}}], "c": []}) == (
        '{\n  "a": [\n    1,\n    {\n      "b": {}\n    }\n  ],\n  "c": []\n}\n'
    )
    assert quote_json([[[[[[1, 2]]]]]]).splitlines()[5].strip() == "[1, 2]"
