"""What the field guide says of itself and of each family of rules."""

from __future__ import annotations

from collections.abc import Mapping

from oneclimb.report import words

FAMILIES: Mapping[str, tuple[str, str]] = {
    "CABLE": ("Cables", "Runs, jackets, bends and what lies beside them: what a picture never shows, and water, sun "
              "and rodents find."),
    "GLARE": ("Glare", "Light that comes back into the lens: fine by day, a white veil by night."),
    "LINK": ("Links", "Radio and network: whether the picture gets to where it is kept."),
    "LOCAL": ("Local law", "What one country's law says of such cameras, where the plan names the country."),
    "MOUNT": ("Mounting", "Height, hold, heat and reach: what the camera is screwed to, and who gets at it."),
    "POWER": ("Power", "Volts, watts and batteries: what is left at the far end, on the coldest night."),
    "PROOF": ("Proof", "What is to be tried before the climb, and shown before anyone relies on it."),
    "RECORD": ("Recording", "How long pictures last, who gets at them, and whether they are there when wanted."),
    "SEAL": ("Sealing", "Where water gets in: connectors, glands, holes, boxes."),
    "VIEW": ("The view", "What the frame is spent on: the wanted ground, the sky, or next door's garden."),
}  # fmt: skip
"""by the first part of a rule's code: what its chapter is called, and what it is about"""

WHAT = (
    "Each page here is one mistake that is easily made in planning a camera, told twice: a short plan that makes it, "
    "and the same plan put right. What the cameras would have seen of each, or where on the site the fault lies, is "
    "computed from those plans and nothing else. So is every figure."
)
READING = (
    "A plan is an install in writing: the place, the house, what stands about, what is to be watched, and how each "
    "camera is fixed, aimed, fed and sealed. The two plans of a page differ in as little as will do.",
    "On the first, the line that brings a finding carries the finding's number; a square is an error, a diamond a "
    "warning, a circle a note. Lines that differ are set off, and the words that were changed are marked.",
    "What the command finds in the plan stands below it, a line a finding, as it says it into a file. The plans are "
    "whole: write one into a file called lane.plan.yaml and run oneclimb check lane.plan.yaml; it also says what it "
    "assumed and what it could not tell.",
    "A picture shows surfaces as plain shades, and people as outlines to scale: it is there to judge light, ground and "
    "size by, not looks. Where a mistake cannot be seen in a picture there is none, and the page says so.",
    "The figures hold for these plans and no other. Another wall, lens or lamp has others: write your own plan.",
)
CARE = (
    words.CAUTION,
    "Infrared is not seen, so nobody blinks: never look into a lamp or a lit camera from close by. Batteries, "
    "lightning and work near the service line have their own rules; the pages say where they begin. Where a page and a "
    "local code differ, the code holds.",
)


def chapter(family: str) -> tuple[str, str]:
    """A family's name and line; of one that is a pack's own, its code."""
    return FAMILIES.get(family, (family, ""))
