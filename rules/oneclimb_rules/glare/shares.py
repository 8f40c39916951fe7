"""What the glare rules say alike: what is lost of a night view, and what one thing does to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from oneclimb_rules.words import called

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.study.night_told import Contribution


def lost(kept: float) -> float:
    """What is lost of what there would be; nothing where there is a gain."""
    return max(0.0, 1.0 - kept)


def gives(part: Contribution, q: Query) -> str:
    """A thing's share of the metered light and of the stray light, as a step of the reckoning."""
    return (
        f"{called(part.ref)} gives {q.say.share(part.metered)} of the light the exposure sees "
        f"and {q.say.share(part.veil)} of the stray light on the front glass"
    )
