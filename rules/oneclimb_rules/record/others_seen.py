"""RECORD-05: others are seen, and there is no sign, or no purpose of each camera's own."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Figure, Info, Level, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told
from oneclimb.study import OTHERS
from oneclimb_rules.asks import unsaid
from oneclimb_rules.record.kept import many

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from oneclimb.api import Query, Trial, Unknown
    from oneclimb.plan.model import Camera, Site
    from oneclimb.study.others import Other

SIGN, PURPOSE = "sign", "purpose"
NAMES = {
    SIGN: "show others, with no sign",
    PURPOSE: "show others, with no purpose of their own",
}
ADVICE = {
    SIGN: "put up a sign where people come into view: that there are cameras, whose, why, and whom to ask",
    PURPOSE: "write for each camera what it is for, in a sentence; 'for safety' alone says too little",
}


class OthersSettings(Settings, frozen=True):
    """How many cameras may lack it; what is only to be written down is a note."""

    limits: Limits = Limits(note=0.5, warning=0.5)


class OthersSeen(Rule["Site"]):
    """Counts the cameras that show others' ground or windows, and holds what the plan declares against them."""

    info = Info(
        code="RECORD-05",
        title="others seen without sign or purpose",
        sources=(
            "CJEU C-212/13 Ryneš (11 December 2014): one that also records public space is not purely personal",
            "EDPB Guidelines 3/2019 v2.0 (a purpose in writing for each camera; a sign first; as restated in print)",
            "UK ICO, domestic CCTV (beyond the boundary: reasons, sign, capture little, delete; as restated in print)",
        ),
        page="others_seen.md",
    )
    subject: ClassVar[str] = "site"
    settings = OthersSettings

    def measure(self, subject: Site, q: Query, settings: OthersSettings) -> Iterable[Reading | Unknown]:
        """The counts, where anything of others shows; what the plan is silent about is asked once."""
        del settings
        seen: Mapping[str, tuple[Other, ...]] = q.of(OTHERS, subject).shown
        cameras = [camera for camera in q.all("camera") if camera.id in seen]
        if not cameras:
            return
        said = subject.handling
        silent = [] if said and said.sign else ["handling.sign"]
        own = [camera for camera in cameras if not camera.purpose]
        silent += ["handling.purpose"] if own and not (said and said.purpose) else []
        silent += ["handling.keeps"] if said and said.sign and said.keeps is None else []
        yield from unsaid(q, subject, *silent)
        if said and said.sign:
            late = said.sign == "none" or (said.sign == "planned" and subject.stage == "as-built")
            yield _reading(SIGN, cameras if late else [], seen)
        if said and said.purpose and len(cameras) > 1:
            yield _reading(PURPOSE, own, seen)

    def level(self, reading: Reading, value: float, settings: OthersSettings) -> Level | None:
        """A missing sign a warning; what is to be written down a note."""
        found = settings.limits.level(value, "low")
        return found if reading.key == SIGN else found and "note"

    def tell(self, reading: Reading, q: Trial, settings: OthersSettings) -> Told:
        """Who shows whom, how well, and what the plan declares."""
        del settings
        detail: float = reading.facts["detail"]
        number = int(reading.figure.value)
        best = f"at up to {detail:.0f} px/m"
        if reading.key == SIGN:
            planned = q.plan.site.handling.sign == "planned"
            sign = "the sign is still only planned" if planned else "there is no sign"
            shows = "shows" if number == 1 else "show"
            text = f"{many(number, 'camera')} {shows} the public way or neighbours, {best}, and {sign} (declared)"
        else:
            has = "has no purpose of its" if number == 1 else "have no purpose of their"
            text = f"{many(number, 'camera')} of those that show others, {best}, {has} own in the plan"
        return Told(text, (Remedy(ADVICE[reading.key]),), steps=reading.facts["steps"])


def _reading(key: str, cameras: Sequence[Camera], seen: Mapping[str, tuple[Other, ...]]) -> Reading:
    """So many cameras lack it; each with the best it shows."""
    best = {camera.id: max(one.detail for one in seen[camera.id]) for camera in cameras}
    return Reading(
        Figure(NAMES[key], float(len(cameras)), "cameras"),
        Ref("site", "site", "handling"),
        key,
        tuple(Related(Ref("camera", name), f"shows others at up to {most:.0f} px/m") for name, most in best.items()),
        {
            "detail": max(best.values(), default=0.0),
            "steps": tuple(
                f"{name}: {many(len(seen[name]), 'place')} of others, the best at {m:.1f} px/m"
                for name, m in best.items()
            ),
        },
    )
