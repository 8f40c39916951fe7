"""What has been tested and shown of a camera or a cable, by the plan's proofs, and what has not yet."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from oneclimb.plan.model import Camera, Plan, Proof

NEAR = 15.0
"""m: a lamp within this distance may change a night picture (common practice)"""
DARK = "every lamp out"


class Asked(Struct, frozen=True):
    """How many things of each kind are still to be shown."""

    bench: int = 0
    cable: int = 0
    day: int = 0
    night: int = 0


def proofs_of(plan: Plan, thing: str, kind: str) -> tuple[Proof, ...]:
    """The proofs of one kind that speak of a thing, in the plan's order."""
    return tuple(proof for proof in plan.proofs if proof.kind == kind and (not proof.of or thing in proof.of))


def shown(plan: Plan, thing: str, kind: str) -> bool:
    """Whether a thing has passed a test of this kind."""
    return any(proof.passed for proof in proofs_of(plan, thing, kind))


def sees_by_night(plan: Plan, camera: Camera) -> bool:
    """Whether it is meant to see by night: it has a light of its own, or watches ground that is wanted by night."""
    if camera.night != "none":
        return True
    return any(area.id in camera.watches and area.when != "day" for area in plan.areas)


def lamps_near(plan: Plan, camera: Camera) -> tuple[str, ...]:
    """The lamps that a night view is to be shown with, each lit and unlit."""
    x, y = camera.mount.spot.x, camera.mount.spot.y
    return tuple(lamp.id for lamp in plan.lamps if (lamp.spot.x - x) ** 2 + (lamp.spot.y - y) ** 2 <= NEAR**2)


def nights_missing(plan: Plan, camera: Camera, facing: tuple[str, ...] = ()) -> Iterator[str]:
    """The states of light in which its night view has not been shown yet.

    Every lamp out; each lamp near it lit; and for each camera it faces the four states: neither infrared lit, its
    own alone, the other's alone, both.
    """
    passed = [proof for proof in proofs_of(plan, camera.id, "night") if proof.passed]
    near = lamps_near(plan, camera)
    if not any(proof.lamps is not None and not set(proof.lamps) & set(near) for proof in passed):
        yield DARK
    for lamp in near:
        if not any(proof.lamps is not None and lamp in proof.lamps for proof in passed):
            yield f"{lamp} lit"
    for other in facing:
        pair = {camera.id, other}
        lit = {frozenset(pair & set(proof.cameras)) for proof in passed if proof.cameras is not None}
        states = {
            frozenset[str](): f"infrared of {camera.id} and {other} both dark",
            frozenset({camera.id}): f"infrared of {other} dark",
            frozenset({other}): f"own infrared dark, that of {other} lit",
            frozenset(pair): f"infrared of {camera.id} and {other} both lit",
        }
        yield from (words for state, words in states.items() if state not in lit)


def asked(plan: Plan) -> Asked:
    """What is still to be shown of the whole plan."""
    cameras = plan.cameras
    return Asked(
        bench=sum(not shown(plan, camera.id, "bench") for camera in cameras),
        cable=sum(not (cable.tested or shown(plan, cable.id, "cable")) for cable in plan.cables),
        day=sum(not shown(plan, camera.id, "day") for camera in cameras),
        night=sum(sees_by_night(plan, camera) and any(nights_missing(plan, camera)) for camera in cameras),
    )
