"""Text that is broken, hostile or surprising."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest
import yaml

from oneclimb.plan import text as room
from oneclimb.plan.faults import Fault, Span
from oneclimb.plan.limits import Limits
from oneclimb.plan.text import Document, parse, read_document
from plan.written import faults, only, plan_of, site, under


def said(found: Document | list[Fault]) -> Fault:
    """The one fault of a file."""
    assert isinstance(found, list)
    assert len(found) == 1, found
    return found[0]


def data(text: str) -> object:
    """What a text says."""
    found = parse("x", text)
    assert isinstance(found, Document), found
    return found.data


@pytest.mark.parametrize(
    ("written", "value"),
    [
        # YAML 1.1 would read these as booleans, sexagesimals, octal, hex, infinity and dates
        ("no", "no"),
        ("off", "off"),
        ("1:30", "1:30"),
        ("017", "017"),
        ("0x10", "0x10"),
        (".inf", ".inf"),
        (".NaN", ".NaN"),
        ("1_000", "1_000"),
        ("2026-99-99", "2026-99-99"),
        ("2026-03-31", "2026-03-31"),
        ("+5", "+5"),
        ("=", "="),
        ("<<", "<<"),
        # and these JSON knows
        ("true", True),
        ("null", None),
        ("-0.5e2", -50.0),
        ("7", 7),
        ('"7"', "7"),
    ],
)
def test_scalars_are_resolved_as_json_would(written: str, value: object) -> None:
    assert data(f"a: {written}") == {"a": value}


def test_a_byte_order_mark_is_no_part_of_the_text(tmp_path: Path) -> None:
    file = tmp_path / "a.plan.yaml"
    file.write_bytes(b"\xef\xbb\xbfa: 1\n")
    found = read_document(str(file))
    assert isinstance(found, Document)
    assert found.data == {"a": 1}


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-32"])
def test_other_unicode_encodings_are_refused_with_a_word(tmp_path: Path, encoding: str) -> None:
    file = tmp_path / "a.plan.yaml"
    file.write_bytes("cameras: []\n".encode(encoding))
    fault = said(read_document(str(file)))
    assert (fault.code, "save the plan as UTF-8" in fault.text) == ("PLAN-03", True)


def test_a_byte_that_is_not_utf8_is_told_with_its_place(tmp_path: Path) -> None:
    file = tmp_path / "a.plan.yaml"
    file.write_bytes("a: 1\nbé: ".encode() + b"\xff\n")
    fault = said(read_document(str(file)))
    assert (fault.code, fault.span) == ("PLAN-03", Span(2, 5, 2, 6))


@pytest.mark.parametrize(
    ("raw", "what"),
    [
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "a PNG picture"),
        (b"\xff\xd8\xff\xe0\0\x10JFIF", "a JPEG picture"),
        (b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n", "a PDF document"),
        (b"PK\x03\x04\x14\0\x06\0", "a ZIP archive"),
        (bytes(range(1, 256)), "a program's data"),
        (b"\x7fELF\x02\x01\x01" + bytes(9), "a program's data"),
    ],
)
def test_a_file_that_is_no_text_is_told_as_what_it_is(tmp_path: Path, raw: bytes, what: str) -> None:
    file = tmp_path / "a.plan.yaml"
    file.write_bytes(raw)
    fault = said(read_document(str(file)))
    assert (fault.code, fault.span) == ("PLAN-03", Span(1, 1, 1, 1))
    assert f"this is {what}" in fault.text
    assert "a plan is plain text" in fault.text


def test_one_odd_character_makes_no_text_binary(tmp_path: Path) -> None:
    file = tmp_path / "a.plan.yaml"
    file.write_bytes(b"a: x\0y")
    assert said(read_document(str(file))).code == "PLAN-04"
    file.write_bytes("name: Schönhöfen\n".encode("latin-1"))
    assert "save the plan as UTF-8" in said(read_document(str(file))).text


def test_files_that_cannot_be_read_are_told_apart(tmp_path: Path) -> None:
    assert said(read_document(str(tmp_path))).text == "this is a folder or a device, not a plan's file"
    assert said(read_document(str(tmp_path / "none.plan.yaml"))).text == "there is no such file"
    assert said(read_document("a\0b")).code == "PLAN-01"
    assert said(read_document("x" * 5000)).code == "PLAN-01"
    assert said(read_document(os.devnull)).code == "PLAN-01"


def test_a_pipe_that_never_ends_does_not_hang(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    assert said(read_document(str(tmp_path / "pipe"))).code == "PLAN-01"


def test_no_permission_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "a.plan.yaml"
    file.write_text("a: 1", encoding="utf-8")

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    assert said(read_document(str(file))).text == "this file may not be read: no permission"


@pytest.mark.parametrize(
    ("text", "code", "at"),
    [
        ("a: &x 1", "PLAN-06", (1, 4)),
        ("a: *x", "PLAN-06", (1, 4)),
        ("&x a: 1", "PLAN-06", (1, 1)),
        ("a: &a [*a]", "PLAN-06", (1, 4)),
        ("a: !!python/object:os.system 1", "PLAN-07", (1, 4)),
        ("!x {a: 1}", "PLAN-07", (1, 1)),
        ("%YAML 1.1\n---\na: 1", "PLAN-07", (1, 1)),
        ("a: 1\n---\nb: 2", "PLAN-08", (2, 1)),
        ("- 1", "PLAN-08", (1, 1)),
        ("5", "PLAN-08", (1, 1)),
        ("", "PLAN-08", (1, 1)),
        ("# nothing\n", "PLAN-08", (1, 1)),
        ("a: 1\nb: 2\na: 3", "PLAN-09", (3, 1)),
        ("{a: 1, 'a': 2}", "PLAN-09", (1, 8)),
        ("a: 1e999", "PLAN-10", (1, 4)),
        ("a: \x1b[31m", "PLAN-04", (1, 4)),
        ("a: 1\nb: x\u2028y", "PLAN-04", (2, 5)),
        ("a: \ufeffx", "PLAN-04", (1, 4)),
        ("? [a]\n: 1", "PLAN-05", (1, 3)),
        ("a: b: c", "PLAN-05", (1, 5)),
        ("a: [1, 2", "PLAN-05", (2, 1)),
        ("\ta: 1", "PLAN-05", (1, 1)),
        ("a: 'x", "PLAN-05", (1, 4)),
        ("a:\n - 1\n b: 2", "PLAN-05", (3, 2)),
    ],
)
def test_text_that_cannot_be_used_is_told_once_at_its_place(text: str, code: str, at: tuple[int, int]) -> None:
    fault = said(parse("x", text + "\n" if text.endswith("2") else text))
    assert (fault.code, (fault.span.line, fault.span.column)) == (code, at)


OPENED = "the quote opened here is not closed on this line"


@pytest.mark.parametrize("loader", [room.LOADER, yaml.SafeLoader])
@pytest.mark.parametrize(
    ("text", "at"),
    [
        ('a: 1\nb: "x\nc: 2\nd: 3\n', (2, 4)),
        ("a: 'x\n", (1, 4)),
        ("a: 'x", (1, 4)),
        ('s: {a: "x}\nb: {c: "y"}\nd: 1\n', (1, 8)),  # closed by the quote that opens the next text
        ("s:\n  a: 'x\n  b: 'y'\n", (2, 6)),
        ("s:\r\n  a: 'é🎥\r\n  b: 'y'\r\n", (2, 6)),
        ('a: "x\n# a comment\nb: [1, 2]\nl: ["y", "z"]\n', (1, 4)),
        ('a: "x\nb: " y"\n', (1, 4)),
        ('a: "x\nb: "y: z"\n', (1, 4)),
        ('a: "two\n  lines"\nb: "x\nc: 2\n', (3, 4)),  # not the text that may be on two lines
    ],
)
def test_a_missing_quote_is_told_where_it_was_opened(
    monkeypatch: pytest.MonkeyPatch, loader: type, text: str, at: tuple[int, int]
) -> None:
    monkeypatch.setattr(room, "LOADER", loader)
    fault = said(parse("x", text))
    assert (fault.code, fault.text, (fault.span.line, fault.span.column)) == ("PLAN-05", OPENED, at)


@pytest.mark.parametrize(
    "text",
    ['a: "two\n  lines"\nb: [1\nc: 2\n', 'a: ["two\n  lines", [1}]\nc: 2\n', "a: 'Neighbour's'\n", 'a: "C:\\door"'],
)
def test_other_slips_are_not_laid_on_a_quote(text: str) -> None:
    assert said(parse("x", text)).text != OPENED


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("a:\n\tb: 1\n", (2, 1)),
        ("a:\n  b: 1\n\tc: 2\n", (3, 1)),
        ("é: 🎥\r\na:\r\n  \t- 1\r\n", (3, 3)),
        ("a:\n  - {b: 1}\n\t- {b: 2}\n", (3, 1)),
    ],
)
def test_a_tab_that_indents_is_called_a_tab(text: str, at: tuple[int, int]) -> None:
    fault = said(parse("x", text))
    assert "tabs can't indent in YAML: put spaces in its place" in fault.text
    assert (fault.code, (fault.span.line, fault.span.column)) == ("PLAN-05", at)


def test_an_alias_bomb_costs_nothing() -> None:
    bomb = "a: &a [x,x,x,x,x,x,x,x,x]\n" + "".join(
        f"{b}: &{b} [{','.join(f'*{a}' for _ in range(9))}]\n" for a, b in zip("abcdefgh", "bcdefghi", strict=True)
    )
    start = time.perf_counter()
    assert said(parse("x", bomb)).code == "PLAN-06"
    assert time.perf_counter() - start < 0.5


@pytest.mark.parametrize(
    "text", ["[" * 100_000, "{a: " * 100_000, "- " * 50_000, "a:\n" + "".join(" " * i + "b:\n" for i in range(1, 900))]
)
def test_depth_is_bounded_before_it_hurts(text: str) -> None:
    assert said(parse("x", text)).code in {"PLAN-02", "PLAN-05"}


@pytest.mark.parametrize(
    ("limits", "text", "name"),
    [
        (Limits(depth=3), "a: [[[1]]]", "depth"),
        (Limits(scalar_length=5), "a: abcdefg", "scalar-length"),
        (Limits(digits=5), "a: 1234567", "digits"),
        (Limits(faults=2), "a: 1\na: 2\na: 3\na: 4\n", "faults"),
    ],
)
def test_a_limit_passed_names_the_option_that_raises_it(limits: Limits, text: str, name: str) -> None:
    found = parse("x", text, limits)
    assert isinstance(found, list)
    assert found[-1].code == "PLAN-02"
    assert f"(--limit {name}=… raises it)" in found[-1].text


def test_a_file_too_large_is_not_read_whole(tmp_path: Path) -> None:
    file = tmp_path / "a.plan.yaml"
    file.write_text("# " + "x" * 5000, encoding="utf-8")
    assert said(read_document(str(file), Limits(file_bytes=4000))).code == "PLAN-02"
    assert said(read_document(str(file))).code == "PLAN-08"


def test_limits_are_set_by_name_and_value() -> None:
    assert Limits().with_setting("cameras=3000").cameras == 3000
    assert Limits().with_setting("site-size=8000").site_size == 8000.0
    for wrong, word in (("cams=3", "no limit is called"), ("cameras=x", "takes a number"), ("cameras=-1", "above 0")):
        with pytest.raises(ValueError, match=word):
            Limits().with_setting(wrong)


def test_every_limit_of_a_plan_is_enforced() -> None:
    two = site(camera="{id: a, mount: {wall: front, along: 2}}, {id: b, mount: {wall: front, along: 4}}")
    assert "--limit cameras=" in only(two, Limits(cameras=1)).text
    ring = "areas: [{id: a, for: detect, points: [[0,-1],[1,-1],[1,-2],[0,-2]]}]"
    assert "--limit corners=" in only(site(ring), Limits(corners=3)).text
    far = "lamps: [{id: far, at: [6000, 0]}]"
    assert "--limit site-size=" in only(site(far)).text
    assert plan_of(site("lamps: [{id: near, at: [600, 0]}]")).lamps


def test_the_pure_python_parser_reads_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    text = (Path(__file__).parent / "data" / "two-cameras.plan.yaml").read_text(encoding="utf-8")
    fast = parse("x", text)
    monkeypatch.setattr(room, "LOADER", yaml.SafeLoader)
    slow = parse("x", text)
    assert isinstance(fast, Document)
    assert isinstance(slow, Document)
    assert (fast.data, fast.root) == (slow.data, slow.root)


def test_places_count_code_points_and_any_line_end() -> None:
    text = "# é🎥\r\nsite: {name: '🎥é', x: 1}\r\ncameras: [{id: c, mount: {at: [0, 0]}, aim: {bearing: 1}}]\r\n"
    fault = only(text)
    assert (fault.code, fault.span) == ("PLAN-11", Span(2, 20, 2, 21))
    assert under(fault, text.replace("\r", "")) == "x"


def test_an_accumulation_of_faults_is_cut_short_with_a_word() -> None:
    text = site("objects: [" + ", ".join(f"{{id: o{i}, kind: boxx}}" for i in range(300)) + "]")
    found = faults(text)
    assert len(found) == 101
    assert "more faults than 100: the rest are not shown" in found[-1].text
