"""A rule's readings of one thing change with other things only if it says so: remedies are held against those alone."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from oneclimb import kit
from oneclimb.api import Change, Reading, Ref, Unknown
from oneclimb.engine.world import Shared, World
from oneclimb.plan.model import Plan
from oneclimb.plan.read import load
from oneclimb.policy import Policy
from oneclimb.review import nouns

EXAMPLES = Path(__file__).parents[2] / "examples"
PLANS = ("harbour-house/as-drawn.plan.yaml", "hill-farm/as-drawn.plan.yaml")


def worlds(plan: Plan) -> Iterator[tuple[Ref, Change]]:
    """One thing of each kind that remedies change, otherwise than it is."""
    cameras = [c for c in plan.cameras if c.mount.spot.wall]
    for camera in (cameras[0], cameras[-1]):
        ref = Ref("camera", camera.id)
        yield ref, Change("replace", ref.at("aim"), {"bearing": (camera.aim.bearing + 40) % 360, "tilt": 12})
    ref = Ref("camera", cameras[1].id)
    yield ref, Change("replace", ref.at("power"), {"source": "poe", "watts": "30 W"})
    thing = Ref("object", plan.objects[0].id)
    yield thing, Change("absent", thing)
    for lamp in plan.lamps[:1]:
        ref = Ref("lamp", lamp.id)
        yield ref, Change("replace", ref.at("lumens"), "5000 lm")
    cable = Ref("cable", plan.cables[0].id)
    yield cable, Change("replace", cable.at("length"), "61 m")


def readings(world: World, policy: Policy, but: Ref) -> dict[tuple[str, Ref, str], object]:
    """What every rule reads of everything but one thing and what belongs to it."""
    found: dict[tuple[str, Ref, str], object] = {}
    for code, rule in kit.packs().rules.items():
        for subject in world.all(rule.subject):
            ref = world.ref(subject)
            if ref == but or getattr(subject, "camera", None) == but.id:
                continue
            try:
                for item in rule.measure(subject, world, policy.settings(rule)):
                    figure = round(item.figure.value, 6) if isinstance(item, Reading) else item.asks
                    found[code, ref, item.key if isinstance(item, Reading) else item.ref.path] = figure
            except Unknown as item:
                found[code, ref, item.ref.path] = item.asks
    return found


@pytest.mark.parametrize("name", PLANS)
def test_nothing_else_moves_a_rule_than_what_it_heeds(name: str) -> None:
    packs = kit.packs()
    loaded = load(str(EXAMPLES / name), packs.kinds, kit.schemas())
    assert loaded.plan is not None, loaded.faults
    world = World(loaded, Shared(nouns(packs, loaded), kit.DAY))
    policy = Policy(packs.rules.values(), loaded.plan.settings, {})
    moved = set()
    for ref, change in worlds(loaded.plan):
        before, after = (readings(w, policy, ref) for w in (world, world.vary(change)))
        codes = {key[0] for key in before.keys() | after.keys() if before.get(key) != after.get(key)}
        moved |= codes
        heeding = {code for code in codes if (heeds := packs.rules[code].heeds) is None or ref.kind in heeds}
        assert codes == heeding, (ref.path, codes - heeding)
        world.forget()
    assert moved
