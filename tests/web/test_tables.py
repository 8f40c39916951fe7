"""The tables: what is fed and carried by what, and every figure, as the check itself has it."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from oneclimb import kit
from oneclimb.engine.round import Crash
from oneclimb.report import facts, words
from oneclimb.review import Review, world_of
from oneclimb.web.tables import FAMILIES, Pair, tables
from web import pages

FARM = Path(__file__).parents[2] / "examples" / "hill-farm" / "as-drawn.plan.yaml"


@cache
def text() -> str:
    return FARM.read_text(encoding="utf-8")


@cache
def seen() -> Review:
    return kit.look(text())


@cache
def made() -> dict[str, Pair]:
    return tables(seen(), world_of(seen().loaded, kit.packs(), kit.DAY))


def row(section: str, thing: str) -> dict[str, str]:
    """A joined table's row, by its heads."""
    joined = made()[section].joined
    (found,) = (one for one in joined.rows if one[0] == thing)
    return dict(zip(joined.head, found, strict=True))


def test_power_reads_as_the_plan_is_written() -> None:
    assert row("power", "barn-cam") == {
        "camera": "barn-cam",
        "fed by": "network cable (PoE)",
        "from": "barn-injector",
        "asks for": "passive",
        "port gives": "passive",
        "draws": "9 W",
        "cable": "121 m",
        "volts at the camera": "the wire passes no more than 8.5 W",
        "needs at least": "21.6 V",
    }
    assert row("power", "diesel-cam") == {
        "camera": "diesel-cam",
        "fed by": "low-voltage wire",
        "from": "byre-adapter",
        "asks for": "12 V DC",
        "port gives": "does not apply",
        "draws": "8 W",
        "cable": "58 m",
        "volts at the camera": "the wire passes no more than 7.8 W",
        "needs at least": "10.8 V",
    }
    assert row("power", "gate-cam")["from"] == "itself"


def test_volts_at_the_camera_follow_from_the_wires_printed_resistance() -> None:
    # 15 m of 0.5 mm2 there and back, 39.0 ohm/km at 20 C (IEC 60228, class 5), copper 0.393 % a kelvin, at the
    # site's 26 C; a steady 8 W off 12 V: u (12 - u) = 8 r
    ohm = 2 * 15 * 39.0 / 1000 * (1 + 0.00393 * 6)
    arrives = float(row("power", "pens-cam")["volts at the camera"].split()[0])
    assert arrives == pytest.approx(6 + math.sqrt(36 - 8 * ohm), abs=0.05)
    assert row("power", "pens-cam")["needs at least"] == "10.8 V"  # 12 V less a tenth


def test_links_and_storage_read_as_the_plan_is_written() -> None:
    assert row("links", "gate-cam")["link"].startswith("radio")
    assert row("links", "yard-cam")["link"] == "cable"
    assert row("links", "yard-cam")["to"] == "hall-switch"
    nvr = row("storage", "hall-nvr")
    # 5 continuous streams of 6 Mbit/s and one of 8, as written: 2 TB last about 4 days (10.8 GB a day a Mbit/s)
    assert nvr["days kept"].startswith(f"{2000 * 0.9 / (10.8 * 38):.0f} days")
    assert (nvr["keeps"], nvr["channels"], nvr["days wanted"]) == ("6 cameras", "4", "30")


def test_what_the_plan_does_not_say_is_not_said() -> None:
    look = kit.look(
        "house: {front: {faces: 0, width: 9}, depth: 7, height: 3}\ncameras: [{id: c, mount: {wall: front}}]"
    )
    bare = tables(look, world_of(look.loaded, kit.packs(), kit.DAY))
    cells = dict(zip(bare["power"].joined.head, bare["power"].joined.rows[0], strict=True))
    assert {cells.pop("camera"), cells.pop("cable")} == {"c", "none"}
    assert {cells.pop("volts at the camera"), cells.pop("needs at least")} == {"does not apply"}
    assert set(cells.values()) == {"not said"}
    assert bare["links"].joined.rows[0][1:4] == ("not said", "not said", "not said")
    assert "storage" not in bare


@pytest.mark.parametrize("section", FAMILIES)
def test_every_finding_with_a_figure_stands_in_its_table_with_the_same_figure_and_level(section: str) -> None:
    rows, tape = set(made()[section].figures.rows), facts.tape(seen())
    found = [one for one in seen().findings if one.code.startswith(f"{FAMILIES[section]}-") and one.figure]
    assert len(found) >= 3
    for one in found:
        if one.figure and not one.figure.unit.startswith("of "):
            ref = one.at.thing
            cells = (tape.figure(one.figure), one.figure.name, one.level, one.code)
            assert any(
                cells == row[1:] and (row[0] == words.thing(ref.kind, ref.id) or row[0] == "site") for row in rows
            )


@pytest.mark.parametrize(("section", "code"), [("power", "POWER-02"), ("power", "POWER-03")])
def test_what_is_within_its_limits_stands_there_too(section: str, code: str) -> None:
    tape = facts.tape(pages.review())
    rows = tables(pages.review(), pages.sitting().world)[section].figures.rows
    told = [(row[1], row[3]) for row in rows if row[4] == code]
    read = kit.readings(pages.plan(), code)
    assert sorted(told) == sorted((tape.figure(one.settled().figure), level or "none") for one, level in read)
    assert [level for _, level in read if level is None]


def test_a_rule_that_failed_is_left_out() -> None:
    broken = replace(seen(), crashes=(Crash("POWER-03", None, "no luck", ""),))
    rows = tables(broken, world_of(broken.loaded, kit.packs(), kit.DAY))["power"].figures.rows
    assert {row[4] for row in rows} == {row[4] for row in made()["power"].figures.rows} - {"POWER-03"}
