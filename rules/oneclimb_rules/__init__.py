"""The trade's own rules, brought in by the same door as anyone else's pack."""

from __future__ import annotations

from typing import TYPE_CHECKING

from oneclimb.api import API_VERSION, Later, PackError, pack_hook

if TYPE_CHECKING:
    from oneclimb.api import Into

RULES: tuple[tuple[str, ...], ...] = (
    ("CABLE-01", "cable", "cable.exposed_low_cable:ExposedLowCable"),
    ("CABLE-02", "cable", "cable.sunlit_jacket:SunlitJacket"),
    ("CABLE-03", "cable", "cable.channel_length:ChannelLength"),
    ("CABLE-04", "cable", "cable.wire_map:WireMap", "wires", "pins"),
    ("CABLE-05", "cable", "cable.never_tested:NeverTested", "made", "stage", "tested"),
    ("CABLE-06", "cable", "cable.clad_conductor:CladConductor"),
    ("CABLE-07", "cable", "cable.near_mains:NearMains"),
    ("CABLE-08", "cable", "cable.between_buildings:BetweenBuildings"),
    ("CABLE-09", "cable", "cable.shallow_burial:ShallowBurial"),
    ("CABLE-10", "conduit", "cable.tight_conduit:TightConduit"),
    ("CABLE-11", "cable", "cable.outdoor_indoors:OutdoorIndoors"),
    ("CABLE-12", "conduit", "cable.mains_in_conduit:MainsInConduit", "contents"),
    ("CABLE-13", "cable", "cable.wet_jacket:WetJacket"),
    ("CABLE-14", "cable", "cable.fire_walls:FireWalls", "through"),
    ("CABLE-15", "cable", "cable.tight_bend:TightBend", "bend"),
    ("GLARE-01", "camera", "glare.infrared_bounce:InfraredBounce"),
    ("GLARE-02", "camera", "glare.facing_cameras:FacingCameras"),
    ("GLARE-03", "camera", "glare.lamp_near_lens:LampNearLens"),
    ("GLARE-04", "camera", "glare.behind_a_pane:BehindAPane", "behind"),
    ("GLARE-05", "camera", "glare.sun_in_frame:SunInFrame"),
    ("GLARE-06", "camera", "glare.retroreflector:Retroreflector"),
    ("LINK-01", "camera", "link.continuous_on_the_air:ContinuousOnTheAir"),
    ("LINK-02", "camera", "link.weak_signal:WeakSignal", "wireless", "link"),
    ("LINK-03", "access-point", "link.busy_channel:BusyChannel", "wireless", "link"),
    ("LINK-04", "camera", "link.lost_live_view:LostLiveView", "wireless", "link"),
    ("LINK-05", "site", "link.full_uplink:FullUplink", "switches", "recorders", "access-points"),
    ("LINK-06", "site", "link.network_exposure:NetworkExposure", "network", "password", "updates", "address"),
    ("MOUNT-01", "camera", "mount.within_reach:WithinReach"),
    ("MOUNT-02", "camera", "mount.ingress_rating:IngressRating"),
    ("MOUNT-03", "camera", "mount.temperature:Temperature", "operating"),
    ("MOUNT-04", "camera", "mount.weak_fixing:WeakFixing"),
    ("MOUNT-05", "camera", "mount.before_the_climb:BeforeTheClimb"),
    ("MOUNT-06", "camera", "mount.infrared_at_the_eye:InfraredAtTheEye"),
    ("MOUNT-07", "camera", "mount.sway:Sway"),
    ("POWER-01", "camera", "power.class_against_port:ClassAgainstPort", "switches", "injectors"),
    ("POWER-02", "switch", "power.switch_budget:SwitchBudget", "budget", "gives"),
    ("POWER-03", "camera", "power.volts_over_poe:VoltsOverPoe", "switches", "injectors"),
    ("POWER-04", "camera", "power.low_voltage_drop:LowVoltageDrop", "supply", "supplies", "gauge"),
    ("POWER-05", "site", "power.misplaced_supply:MisplacedSupply", "supplies", "injectors"),
    ("POWER-06", "camera", "power.battery_days:BatteryDays", "power"),
    ("POWER-07", "camera", "power.frozen_charging:FrozenCharging", "power"),
    ("POWER-08", "camera", "power.winter_panel:WinterPanel", "power"),
    ("POWER-09", "site", "power.mains_stop:MainsStop", "recorders", "ups"),
    ("PROOF-01", "camera", "proof.bench_test:BenchTest", "stage"),
    ("PROOF-02", "camera", "proof.still_to_show:StillToShow", "stage"),
    ("RECORD-01", "recorder", "record.short_of_days:ShortOfDays"),
    ("RECORD-02", "recorder", "record.too_few_channels:TooFewChannels"),
    ("RECORD-03", "camera", "record.card_wear:CardWear", "card"),
    ("RECORD-04", "recorder", "record.kept_too_long:KeptTooLong", "handling"),
    ("RECORD-05", "site", "record.others_seen:OthersSeen", "beyond", "neighbours"),
    ("RECORD-06", "site", "record.clock_drifts:ClockDrifts", "recorders", "clock"),
    ("RECORD-07", "camera", "record.trigger_misses:TriggerMisses", "trigger"),
    ("RECORD-08", "recorder", "record.goes_with_recorder:GoesWithRecorder"),
    ("RECORD-09", "site", "record.handed_over:HandedOver", "stage"),
    ("RECORD-10", "camera", "record.only_on_card:OnlyOnCard", "card"),
    ("SEAL-01", "connector", "seal.unsealed_connector:UnsealedConnector"),
    ("SEAL-02", "camera", "seal.drip_loop:DripLoop", "entry"),
    ("SEAL-03", "camera", "seal.entry_hole:EntryHole", "hole"),
    ("SEAL-04", "connector", "seal.gland_and_cable:GlandAndCable", "clamps", "diameter", "boxes"),
    ("SEAL-05", "site", "seal.breathing:Breathing", "hole", "conduits"),
    ("SEAL-06", "box", "seal.box_and_place:BoxAndPlace"),
    ("VIEW-01", "camera", "view.unwanted_zone:UnwantedZone"),
    ("VIEW-02", "camera", "view.neighbour_overlap:NeighbourOverlap"),
    ("VIEW-03", "area", "view.not_covered:NotCovered"),
    ("VIEW-04", "area", "view.too_few_pixels:TooFewPixels"),
    ("VIEW-05", "camera", "view.dark_ground:DarkGround", "areas"),
    ("VIEW-06", "area", "view.too_steep:TooSteep"),
    ("VIEW-07", "object", "view.grows_in:GrowsIn", "grows"),
    ("VIEW-08", "camera", "view.masked_ground:MaskedGround", "masks"),
    ("VIEW-09", "camera", "view.motion_blur:MotionBlur"),
    ("VIEW-10", "camera", "view.what_moves:WhatMoves", "objects"),
    ("VIEW-11", "camera", "view.private_room:PrivateRoom", "private", "room"),
    ("VIEW-12", "camera", "view.sound_beyond:SoundBeyond", "microphone"),
    ("VIEW-13", "camera", "view.switching:Switching", "lamps"),
)
"""code, subject, where its class is; further entries are the plan's keys without which it has nothing to say"""


@pack_hook
def oneclimb_pack(into: Into) -> None:
    """Register every rule of this pack, to be imported when a plan needs it."""
    if into.api != API_VERSION:
        raise PackError(f"these rules are written for API version {API_VERSION}, not {into.api}")
    for code, subject, at, *needs in RULES:
        into.rule(Later(code, f"oneclimb_rules.{at}", subject, frozenset(needs)))
