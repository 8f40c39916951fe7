"""Hypothesis strategies for what feeds, carries and keeps the cameras, what was tested, and how the site is run."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from plan.strategies_base import lengths, optional

GIVES = st.sampled_from(["802.3af", "802.3at", "802.3bt type 3", "802.3bt type 4", "passive"])
SITS = st.sampled_from(["indoors", "box", "eave", "open"])
PASSWORD = st.sampled_from(["own", "shared", "default"])
UPDATES = st.sampled_from(["current", "ended"])
CLOCK = st.sampled_from(["network", "hand", "none"])
DAYS = st.sampled_from([14, "30 days", "2 weeks"])
RATE = st.sampled_from([100, "100 Mbit/s", "1 Gbit/s"])
WATTS = st.sampled_from(["65 W", 30, "500 mW"])
VOLTS = st.sampled_from(["12 V", 24, "53.5 V"])
ADDRESS = st.sampled_from(["192.168.1.20", "fd00::20"])
PLACE: st.SearchStrategy[dict[str, Any]] = st.sampled_from(
    [{}, {"wall": "front", "along": 3}, {"at": [2, "3 m"], "height": "1.4 m"}]
)
NAMED: dict[str, str] = {
    "switches": "loft",
    "supplies": "brick",
    "recorders": "nvr",
    "access-points": "router",
}
"""the gear that other things may name: it is always there"""

KEPT: dict[str, st.SearchStrategy[Any]] = {
    "recorded": st.just("1920 x 1080"),
    "codec": st.sampled_from(["H.264", "H.265"]),
    "frames": st.sampled_from([15, 12.5]),
    "bitrate": st.sampled_from(["4 Mbit/s", 4, "512 kbit/s"]),
    "night-bitrate": st.just("6 Mbit/s"),
    "motion": st.sampled_from(["10 %", 0.1]),
    "events": st.sampled_from([20, 0.5]),
    "clip": st.sampled_from(["20 s", 20]),
    "trigger": optional(
        by=st.sampled_from(["heat", "picture", "radar"]),
        range=lengths(1, 20),
        lag=st.sampled_from(["1 s", "500 ms"]),
        before=st.just(3),
    ),
    "wireless": optional(
        to=st.just("router"),
        band=st.sampled_from(["2.4 GHz", "5 GHz", "6 GHz"]),
        standard=st.sampled_from(["n", "ac", "ax"]),
        width=st.sampled_from([20, 40]),
        measured=st.sampled_from(["-61 dBm", -70.5]),
        gain=st.just("2 dBi"),
    ),
    "password": PASSWORD,
    "updates": UPDATES,
    "clock": CLOCK,
    "card": optional(size=st.sampled_from(["128 GB", "1 TB"]), endurance=st.just("60 TB")),
    "recorder": st.just("nvr"),
    "purpose": st.just("to see who comes"),
}
"""how a camera's pictures are started, sent and kept"""

PANEL = st.builds(
    lambda place, more: {**place, **more}, PLACE, optional(watts=WATTS, faces=st.just(180), tilt=st.just("45 deg"))
)
POWER = optional(
    source=st.sampled_from(["poe", "adapter", "low-voltage", "battery", "solar"]),
    watts=WATTS,
    capacity=st.just("20 Wh"),
    poe=st.integers(0, 8),
    standard=GIVES,
    volts=VOLTS,
    current=st.sampled_from(["DC", "AC"]),
    tolerance=st.sampled_from(["10 %", 0.05]),
    supply=st.just("brick"),
    standby=st.just("20 mW"),
    daily=st.just("1.5 Wh"),
    chemistry=st.sampled_from(["lithium", "lead", "alkaline"]),
    panel=PANEL,
)
"""a camera's power in its long form"""

SITE: dict[str, st.SearchStrategy[Any]] = {
    "clock": st.sampled_from([0, -5, 5.5]),
    "hills": st.lists(
        st.fixed_dictionaries({"bearings": st.sampled_from(["120 to 200", "340 deg to 20 deg"]), "up": st.just(12)}),
        max_size=2,
    ),
    "protected": st.booleans(),
    "network": optional(
        password=PASSWORD,
        forwarded=st.booleans(),
        separate=st.booleans(),
        jacks=st.sampled_from(["open", "locked"]),
        updates=UPDATES,
        uplink=RATE,
    ),
    "handling": optional(
        purpose=st.just("the door"),
        sign=st.sampled_from(["up", "planned", "none"]),
        keeps=DAYS,
        most=DAYS,
        account=st.sampled_from(["owner", "installer"]),
        labels=st.booleans(),
        drawing=st.booleans(),
    ),
}
"""how the site lies and is run"""

_KEYS: dict[str, st.SearchStrategy[dict[str, Any]]] = {
    "switches": optional(
        sits=SITS, ports=st.integers(1, 48), gives=GIVES, budget=WATTS, volts=VOLTS, speed=RATE, uplink=RATE
    ),
    "injectors": optional(gives=GIVES, volts=VOLTS, sits=SITS, to=st.just("loft")),
    "supplies": optional(
        volts=VOLTS,
        current=st.sampled_from(["DC", "AC"]),
        watts=WATTS,
        sits=SITS,
        rated=st.sampled_from([[], ["IP44"]]),
        protected=st.booleans(),
    ),
    "recorders": optional(
        channels=st.integers(1, 64),
        most=RATE,
        disks=st.lists(st.sampled_from(["4 TB", "500 GB"]), max_size=3),
        mirrored=st.booleans(),
        wants=DAYS,
        copy=st.sampled_from(["none", "cloud", "elsewhere"]),
        alerts=st.booleans(),
        locked=st.booleans(),
        clock=CLOCK,
        password=PASSWORD,
        updates=UPDATES,
        address=ADDRESS,
        watts=WATTS,
    ),
    "ups": optional(capacity=st.just("200 Wh"), watts=WATTS, feeds=st.sampled_from([["nvr"], ["loft", "cam0"], []])),
    "access-points": optional(power=st.just("20 dBm"), gain=st.just(2), uplink=RATE),
}
_PLACED = {"switches", "supplies", "recorders", "access-points"}


@st.composite
def gear(draw: st.DrawFn, lamps: list[str], cameras: list[str]) -> dict[str, list[dict[str, Any]]]:
    """Every list of gear; what other things may name is there."""
    lists: dict[str, list[dict[str, Any]]] = {}
    for key, keys in _KEYS.items():
        names = ([NAMED[key]] if key in NAMED else []) + [f"{key}-more"] * draw(st.integers(0, 1))
        place = PLACE if key in _PLACED else st.builds(dict[str, Any])
        lists[key] = [{"id": name, **draw(place), **draw(keys)} for name in names]
    for switch in lists["switches"][1:]:
        switch["to"] = "loft"
    tested = optional(
        of=st.lists(st.sampled_from(cameras), max_size=2, unique=True),
        when=st.dates().map(lambda day: day.isoformat()),
        by=st.just("the fitter"),
        lamps=st.lists(st.sampled_from(lamps), unique=True) if lamps else st.just([]),
        cameras=st.lists(st.sampled_from(cameras), unique=True),
        passed=st.booleans(),
    )
    kinds = draw(st.lists(st.sampled_from(["bench", "cable", "day", "night", "export", "power cut"]), max_size=2))
    lists["proofs"] = [{"id": f"proof{i}", "kind": kind, **draw(tested)} for i, kind in enumerate(kinds)]
    return lists
