"""What tests of the frames share: a plan sat before, and its pictures."""

from __future__ import annotations

from oneclimb import kit
from oneclimb.draw import Picture, Sitting, pictures
from oneclimb.review import world_of


def sitting(text: str) -> Sitting:
    review = kit.look(text)
    assert not review.loaded.faults, review.loaded.faults
    return Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY))


def page(code: str) -> str:
    """The plan of a rule's page that fails."""
    return kit.plans(kit.packs().page(code))[0]


def drawn(one: Sitting, kind: str) -> list[Picture]:
    return list(pictures(one, [kind]))
