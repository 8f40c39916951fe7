"""Leave out any key of an example: no crash, and no verdict turns clean without a word.

Where a finding of the whole plan is missing once a key has been left out, one of these must hold:

1. the plan has a fault now;
2. something is assumed that was written before, or cannot be told that could be before, or another law
   is said to have been looked at;
3. the same rule still says as much, or worse, of the same thing, for another reason (`key`);
4. the key held things (an object, an area, a lamp, a neighbour, a cable …) that are not in the
   plan any more, and the finding was about one of them, or named one of them as related, or it
   was about a camera or an area and they were areas (what cameras are for), solids (what fills a
   picture and sends light back) or lamps: that is another install, not a silence.

`settings` and `deviations` are left alone: they say how findings are to be taken, and are meant
to take findings away.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from copy import deepcopy
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from examples.expected import AS_DRAWN, EXAMPLES, name
from examples.quick import quick, things
from oneclimb.api import LEVELS, Finding, Ref
from oneclimb.report.words import law
from oneclimb.review import Review

COTTAGE = EXAMPLES / "two-cameras" / "cottage.plan.yaml"
DRIVE = EXAMPLES / "shared-drive" / "shared-drive.plan.yaml"
FARM = EXAMPLES / "hill-farm" / "as-drawn.plan.yaml"
HOLDS = frozenset({"post", "pole", "service-drop"})
"""kinds of object that gear hangs on or must keep clear of"""
VOLUNTEERED = frozenset(
    {
        *("card", "trigger", "contents", "hole", "conduit"),  # left out, the thing itself is not there
        *("wires", "mains", "bend", "clamps", "between", "through"),  # what somebody looked at or measured; nobody must
        *("operating", "password", "network"),  # asked of every camera and home it would drown a first plan
    }
)
"""keys of gear that only tell more: a plan that leaves them out claims nothing, and is asked nothing"""
LEFT_ALONE = frozenset({"settings", "deviations"})
IN_A_PICTURE = frozenset({"area", "object", "building", "lamp"})

Place = tuple[str | int, ...]


@cache
def whole(plan: Path) -> tuple[Any, Review]:
    """An example's data, and its review."""
    review = quick(plan.read_text(encoding="utf-8"))
    assert review.loaded.document is not None
    return review.loaded.document.data, review


def keys(value: Any, place: Place = ()) -> Iterator[Place]:
    """The place of every key of a mapping, however deep."""
    if isinstance(value, dict):
        for key, inner in value.items():
            if place or key not in LEFT_ALONE:
                yield (*place, key)
                yield from keys(inner, (*place, key))
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            yield from keys(inner, (*place, i))


def kinds_of_keys(plan: Path) -> tuple[Place, ...]:
    """The first key of each sort: places that differ only in their number in a list are one sort."""
    first: dict[Place, Place] = {}
    for place in keys(whole(plan)[0]):
        first.setdefault(sort(place), place)
    return tuple(place for place in first.values() if place[-1] not in VOLUNTEERED)


def sort(place: Place) -> Place:
    """A place without its numbers in lists."""
    return tuple("*" if isinstance(part, int) else part for part in place)


def without(data: Any, place: Place) -> Any:
    """The data with one key left out."""
    changed = deepcopy(data)
    *way, last = place
    inner = changed
    for part in way:
        inner = inner[part]
    del inner[last]
    return changed


def assumed(review: Review) -> set[tuple[str, str, str, str]]:
    plan = review.loaded.plan
    assert plan is not None
    return {(item.kind, item.field, item.taken, one) for item in plan.assumed for one in item.ids}


def asked(review: Review) -> set[tuple[str, Ref, str]]:
    return {(item.code, item.ref, item.asks) for item in review.cannot_tell}


def says_so(before: Review, after: Review) -> bool:
    return bool(assumed(after) - assumed(before) or asked(after) - asked(before) or law(after) != law(before))


def still_told(finding: Finding, after: Review) -> bool:
    return any(
        one.code == finding.code
        and one.at.thing == finding.at.thing
        and LEVELS.index(one.level) >= LEVELS.index(finding.level)
        for one in after.findings
    )


def about(finding: Finding, gone: set[Ref]) -> bool:
    named = {finding.at.thing} | {one.at.thing for one in finding.related}
    seen = finding.at.kind in {"camera", "area"} and any(ref.kind in IN_A_PICTURE for ref in gone)
    return seen or bool(named & gone)


def silently_clean(before: Review, after: Review) -> list[str]:
    """Findings that went without a word."""
    if after.loaded.faults or says_so(before, after):
        return []
    gone = things(before) - things(after)
    left = {finding.path for finding in after.findings}
    missing = [finding for finding in before.findings if finding.path not in left]
    return [f.path for f in missing if not still_told(f, after) and not about(f, gone)]


def gear(plan: Path) -> tuple[Any, Review]:
    """An example with no areas, no lamps and no night, so that a review of all its gear is quick."""
    data, review = whole(plan)
    assert review.loaded.plan is not None
    kept = {key: value for key, value in deepcopy(data).items() if key not in {"areas", "lamps"}}
    kept["objects"] = [one for one in kept["objects"] if one["kind"] in HOLDS]
    for entry, camera in zip(kept["cameras"], review.loaded.plan.cameras, strict=True):
        entry.pop("watches", None)
        entry |= {"night": "none", "aim": {"bearing": camera.aim.bearing, "tilt": camera.aim.tilt}}
    return kept, quick(json.dumps(kept, ensure_ascii=False))


def hold(plan: Path, places: tuple[Place, ...]) -> None:
    hold_data(*whole(plan), places)


def hold_data(data: Any, before: Review, places: tuple[Place, ...]) -> None:
    assert before.crashes == ()
    wrong = []
    for place in places:
        after = quick(json.dumps(without(data, place), ensure_ascii=False))
        wrong += [f"{place}: crash {crash.code} {crash.text}" for crash in after.crashes]
        wrong += [f"{place}: {path} went without a word" for path in silently_clean(before, after)]
    assert not wrong, "\n".join(wrong)


def test_no_key_of_the_two_camera_plan_is_missed_in_silence() -> None:
    hold(COTTAGE, tuple(keys(whole(COTTAGE)[0])))


@pytest.mark.parametrize("plan", [AS_DRAWN, DRIVE], ids=name)
def test_no_sort_of_key_is_missed_in_silence(plan: Path) -> None:
    hold(plan, kinds_of_keys(plan))


def test_no_sort_of_key_about_gear_is_missed_in_silence() -> None:
    data, before = gear(FARM)
    held = {sort(place) for plan in (AS_DRAWN, DRIVE, COTTAGE) for place in kinds_of_keys(plan)}
    places = {sort(place): place for place in reversed(list(keys(data)))}
    own = tuple(place for one, place in places.items() if one not in held and place[-1] not in VOLUNTEERED)
    hold_data(data, before, own)


def test_a_finding_that_just_disappears_is_noticed() -> None:
    """The check itself: a review with a finding taken away, and nothing said for it, does not pass."""
    _, before = whole(COTTAGE)
    text = COTTAGE.read_text(encoding="utf-8").replace("along: 31 ft 10 in", "along: 1 ft")
    assert [path.partition(":")[0] for path in silently_clean(before, quick(text))] == ["GLARE-01"]
