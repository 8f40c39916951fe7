"""Where pictures hang: the sun on its camera's card, what feeds it with the power, what keeps it with the storage."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import html5lib
import pytest
from markupsafe import Markup

from oneclimb import kit
from oneclimb.draw import Picture, Sitting, pictures
from oneclimb.review import check, world_of
from oneclimb.web.page import page
from oneclimb.web.plate import Plate

FARM = Path(__file__).parents[2] / "examples/hill-farm/as-drawn.plan.yaml"
SPACE = "{http://www.w3.org/1999/xhtml}"


def bare(one: Picture) -> Plate:
    """A plate with nothing drawn on it."""
    return Plate(one.name, one.kind, one.title, one.words, one.about, one.finding, Markup("<p>drawn</p>"), broad=False)


@cache
def html() -> str:
    review = check(str(FARM), kit.packs(), kit.schemas(), today=kit.DAY)
    sitting = Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY))
    kinds = ["sun", "volts", "budget", "battery", "storage"]
    return page(review, kit.packs(), sitting, list(pictures(sitting, kinds)), bare)


@pytest.mark.parametrize(
    ("section", "names"),
    [
        (
            "power",
            ["volts-yard-cam", "volts-diesel-cam", "budget-hall-switch", "budget-byre-adapter", "battery-gate-cam"],
        ),
        ("storage", ["storage-hall-nvr"]),
        ("cameras", ["sun-yard-cam", "sun-gate-cam"]),
    ],
)
def test_each_chart_hangs_once_and_where_it_belongs(section: str, names: list[str]) -> None:
    tree = html5lib.parse(html())
    (there,) = (one for one in tree.iter(f"{SPACE}section") if one.get("id") == section)
    for name in names:
        everywhere = [one for one in tree.iter(f"{SPACE}figure") if one.get("id") == f"picture-{name}"]
        assert [one for one in there.iter(f"{SPACE}figure") if one.get("id") == f"picture-{name}"] == everywhere
        assert len(everywhere) == 1, name


def test_each_chart_says_its_verdict_and_its_words() -> None:
    assert "yard-cam gets 47.6 V, needs 37.0" in html()
    assert "4 cameras on hall-switch take 47 W of its 36 W with everything on" in html()
    assert "hall-nvr has room for" in html()
    assert html().count("gate-cam: its panel gives 0.32 Wh a day in December, it takes 1.3</figcaption>") == 1
