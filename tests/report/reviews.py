"""Reviews made by hand: a real plan, read by the real reader, with findings of our own on it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from oneclimb.api import Change, Figure, Finding, Info, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told
from oneclimb.engine.measure import CannotTell
from oneclimb.engine.round import Crash
from oneclimb.packs import PackInfo, Packs
from oneclimb.plan.read import load
from oneclimb.plan.schema import Schemas
from oneclimb.policy import Accepted
from oneclimb.register import Rules
from oneclimb.review import Review

PLAN = """\
units: metres
site: {name: Heron Cottage, coast: 400 m}
house: {front: {faces: 200, width: 11.4}, depth: 7.2, eave: {height: 2.7, depth: 0.45}}
objects:
  - {id: downpipe, kind: downpipe, wall: front, along: 10.9, surface: white plastic}
areas:
  - {id: gate, for: recognise, wall: front, along: 9, out: 8}
types:
  turret: {shape: turret, pixels: 2560 x 1440, view: 100 deg, infrared: 30 m}
cameras:
  - id: drive-cam
    type: turret
    mount: {wall: front, along: 11.2, height: 2.6}
    aim: gate
    cable: {to: switch, sits: eave}
  - {id: back-cam, type: turret, mount: {wall: back, along: 3, height: 2.5}}
deviations:
  - {code: SHINE-02, at: camera/back-cam, reason: the owner wants it so, agreed: the owner, until: 2031-05-01}
"""

DRIVE = Ref("camera", "drive-cam")
BACK = Ref("camera", "back-cam")
PIPE = Ref("object", "downpipe")
PLUG = Ref("connector", "drive-cam-plug")


class Shine(Rule[Any]):
    """A rule for the reports' tests."""

    info = Info("SHINE-01", "Light that comes back", ("common practice",), "shine.md")
    subject = "camera"
    settings = Settings

    def measure(self, _subject: Any, _q: Any, _settings: Any) -> Iterable[Reading]:
        return ()

    def tell(self, _reading: Reading, _q: Any, _settings: Any) -> Told:
        return Told("")


class Safe(Shine):
    """A safety rule for the same."""

    info = Info("SHINE-02", "A hand in the wrong place", ("common practice",), "shine.md", safety=True)


RULES: Mapping[str, Rule[Any]] = {"SHINE-01": Shine(), "SHINE-02": Safe()}
PACK = PackInfo("bright", "oneclimb-bright", "1.2.0")
PACKS = Packs(Rules(RULES), {}, {}, (PACK,), (), dict.fromkeys(RULES, PACK))

KEPT = Figure("night view kept", 0.38, "", 0.3, 0.45, "high")
FOUND = Finding(
    "SHINE-01",
    "error",
    DRIVE.at("mount.along"),
    "the downpipe 30 cm to the left of drive-cam returns its infrared",
    KEPT,
    key="downpipe",
    related=(Related(PIPE, "white plastic, 0.30 m off"),),
    remedies=(
        Remedy(
            "move drive-cam 35 cm to the left",
            (Change("replace", DRIVE.at("mount.along"), "10.85 m"),),
            Figure("night view kept", 0.96, "", good="high"),
            ladder=True,
        ),
        Remedy("matt black on the downpipe", (Change("replace", PIPE.at("surface"), "matt black"),), partial=True),
        Remedy("a separate lamp a metre aside"),
    ),
    steps=("E = I / d^2 = 4.1 lx", "kept = 5.2 m / 13.7 m = 38 %"),
)
SOFT = Finding("SHINE-01", "note", PLUG, "the plug is open to the rain", softened=True, caution="mains near by")
RISKY = Finding("SHINE-02", "warning", BACK, "within reach")


@dataclass(frozen=True)
class Folder:
    """Where a test's plans lie."""

    at: Path

    def review(self, text: str = PLAN, name: str = "heron.plan.yaml", **parts: Any) -> Review:
        """A review of ``text`` with these parts; without any, a clean one."""
        path = self.at / name
        path.write_text(text, encoding="utf-8")
        loaded = load(str(path), {}, schemas())
        return Review(str(path), loaded, rules=tuple(RULES.values()), **parts)

    def full(self, text: str = PLAN) -> Review:
        """A review in which everything a report can show occurs."""
        clean = self.review(text)
        plan = clean.loaded.plan
        assert plan is not None, clean.loaded.faults
        return replace(
            clean,
            findings=(FOUND, SOFT),
            cannot_tell=(
                CannotTell("SHINE-01", DRIVE, "How is its plug sealed?"),
                CannotTell("SHINE-02", DRIVE, "How is its plug sealed?"),
                CannotTell("SHINE-01", BACK, "What light does it need?"),
            ),
            accepted=(Accepted(RISKY, plan.deviations[0], safety=True),),
        )


CRASH = Crash("SHINE-01", DRIVE, "ZeroDivisionError: division by zero", "Traceback: …")
BROKEN = Crash("dull", None, "the pack 'dull' cannot be loaded: no module named 'dull'", "Traceback: …")


@cache
def schemas() -> Schemas:
    """The plan's schema with the two rules above."""
    return Schemas({}, RULES)


__all__ = ["BROKEN", "CRASH", "FOUND", "KEPT", "PACKS", "PLAN", "RULES", "Folder", "Limits"]
