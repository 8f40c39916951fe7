"""More slips: the sun, wires, radio, ladders and heat, what is computed of a place with them, and the rules' figures.

The same kind of table as ``mutant_table``.
"""

from __future__ import annotations

from mutant_table import STUDY, TRADE, Mutant

RULES, LOCAL = "rules/oneclimb_rules/", "rules/oneclimb_local/"
STUDIES, BY_TRADE, BY_RULE = (f"tests/{room}/test_" for room in ("study", "trade", "rules"))

SUN = BY_TRADE + "sun.py"
SKY = BY_TRADE + "sky.py"
PANEL = BY_TRADE + "panel.py"
BATTERY = BY_TRADE + "battery.py"
ETHERNET = BY_TRADE + "ethernet.py"
COPPER = BY_TRADE + "copper.py"
CONDUIT = BY_TRADE + "conduit.py"
RADIO = BY_TRADE + "radio.py"
AIRTIME = BY_TRADE + "airtime.py"
DEW = BY_TRADE + "dew.py"
RATINGS = BY_TRADE + "ratings.py"
EYE = BY_TRADE + "eye.py"
SWAY = BY_TRADE + "sway.py"
HEAT = BY_TRADE + "heat.py"
KEPT = BY_TRADE + "storage.py"
GLARE_SUN = BY_RULE + "glare_sun.py"
CABLE_SUN = BY_RULE + "cable_sun.py"
SHADE = STUDIES + "shade.py"
PATH = STUDIES + "path.py"
WAY = STUDIES + "way.py"
RECORDING = STUDIES + "recording_studies.py"
CLIMB = BY_RULE + "mount_climb.py"
PEER = BY_RULE + "mount_reach_and_eye.py"
WEATHER = BY_RULE + "mount_weather.py"
MOVES = BY_RULE + "view_moves.py"
PRIVATE = BY_RULE + "view_private.py"
RETRO = BY_RULE + "glare_retroreflector.py"
BEHIND = BY_RULE + "glare_pane.py"
DARK = BY_RULE + "view_night.py"
GROUND = BY_RULE + "view_ground.py"


MORE = (
    # sun and sky
    Mutant("longitude counted westward", TRADE + "sun.py", "nutation + np.radians(longitude) - ascension",
           "nutation - np.radians(longitude) - ascension", (SUN,)),
    Mutant("sun's azimuth from the south", TRADE + "sun.py", "south)) + 180) % 360", "south))) % 360", (SUN,)),
    Mutant("sunrise by the sun's middle", TRADE + "sun.py", "RISEN = -0.8333", "RISEN = -0.5667", (SUN,)),
    Mutant("months by UTC", TRADE + "sun.py", "_UNIX + zone / 24) * 86400", "_UNIX) * 86400", (SUN,)),
    Mutant("air mass of a flat earth", TRADE + "sky.py", " + 0.50572 * (6.07995 + e) ** -1.6364))", "))", (SKY,)),
    Mutant("tilted face sees the sky behind it", TRADE + "sky.py",
           "(1 - bright) * (1 + math.cos(math.radians(tilt))) / 2",
           "(1 - bright) * (1 - math.cos(math.radians(tilt))) / 2", (SKY,)),
    Mutant("overcast sky as bright as a clear one", TRADE + "sky.py", "whole = light[0] * OVERCAST",
           "whole = light[0]", (SKY,)),
    Mutant("winter in December everywhere", TRADE + "sky.py", "peak = 12.0 if latitude >= 0 else 6.0", "peak = 12.0",
           (SKY,)),
    # panels and batteries
    Mutant("panels gain in the heat", TRADE + "panel.py", "(1 + gamma * (cells - 25))", "(1 - gamma * (cells - 25))",
           (PANEL,)),
    Mutant("losses added up", TRADE + "panel.py", "1 - math.prod(1 - share for share in shares)", "sum(shares)",
           (PANEL,)),
    Mutant("ends of a battery's days swapped", TRADE + "battery.py",
           "c0 * f0 * usable / d2, c1 * f1 * usable / d1, c2 * f2 * usable / d0",
           "c0 * f0 * usable / d0, c1 * f1 * usable / d1, c2 * f2 * usable / d2", (BATTERY,)),
    Mutant("event's energy by the minute", TRADE + "battery.py", "(seconds + waking) / 3600",
           "(seconds + waking) / 60", (BATTERY,)),
    Mutant("lithium charged in frost", TRADE + "battery.py", '"lithium": (0.0, 60.0)', '"lithium": (-20.0, 60.0)',
           (BATTERY,)),
    # wires
    Mutant("four pairs with the resistance of two", TRADE + "ethernet.py", "kind.ohm * 2 / each.pairs", "kind.ohm",
           (ETHERNET,)),
    Mutant("cord counted as solid cable", TRADE + "ethernet.py", "+ cords * cord / 1000 +", "+ cords * solid / 1000 +",
           (ETHERNET,)),
    Mutant("class 6 with the watts of class 5", TRADE + "ethernet.py", "6: Class(6, 60.0, 51.0, 3, 4)",
           "6: Class(6, 60.0, 40.0, 3, 4)", (ETHERNET,)),
    Mutant("wire's diameter taken for its radius", TRADE + "copper.py", "math.pi / 4 * mm**2", "math.pi * mm**2",
           (COPPER,)),
    Mutant("steady load's voltage by the wrong root", TRADE + "copper.py", "(volts + math.sqrt(inside)) / 2",
           "(volts - math.sqrt(inside)) / 2", (COPPER,)),
    Mutant("copper that is better warm", TRADE + "copper.py", "1 + ALPHA[conductor] * (celsius - 20)",
           "1 - ALPHA[conductor] * (celsius - 20)", (COPPER,)),
    Mutant("loop of one wire", TRADE + "low_voltage.py", "2 * run.metres * ohm_km / 1000",
           "run.metres * ohm_km / 1000", (BY_TRADE + "low_voltage.py",)),
    Mutant("fill by diameters", TRADE + "conduit.py", "return sum(d * d for d in diameters) / bore**2",
           "return sum(diameters) / bore", (CONDUIT,)),
    Mutant("two cables' fill and three's swapped", TRADE + "conduit.py", "FILL = (0.53, 0.31, 0.40)",
           "FILL = (0.53, 0.40, 0.31)", (CONDUIT,)),
    Mutant("sine and cosine of a slope swapped", TRADE + "conduit.py",
           "(math.sin(slope) + friction * math.cos(slope))", "(math.cos(slope) + friction * math.sin(slope))",
           (CONDUIT,)),
    Mutant("bend's angle in degrees", TRADE + "conduit.py", "friction * math.radians(abs(part.degrees))",
           "friction * abs(part.degrees) / 60", (CONDUIT,)),
    Mutant("driveway dug like a street", TRADE + "burial.py", '"house driveway": (450, 450, 450, 300, 450)',
           '"house driveway": (600, 600, 600, 600, 600)', (BY_TRADE + "burial.py",)),
    Mutant("split pairs pass", TRADE + "wire_map.py", "_MATE[one] != other", "one == other",
           (BY_TRADE + "wire_map.py",)),
    # radio
    Mutant("loss in free space by the distance only once", TRADE + "radio.py",
           "20.0 * math.log10(max(metres, 1.0) / 1000.0)", "10.0 * math.log10(max(metres, 1.0) / 1000.0)", (RADIO,)),
    Mutant("slant through a wall by the cosine", TRADE + "radio.py", "math.sin(math.radians(angle)) ** 2",
           "math.cos(math.radians(angle)) ** 2", (RADIO,)),
    Mutant("walls that amplify", TRADE + "radio.py", "eirp + gain - path - walls", "eirp + gain - path + walls",
           (RADIO,)),
    Mutant("symbols of HE as short as of HT", TRADE + "radio.py", '13.6 if generation == "ax" else 4.0', "4.0",
           (RADIO,)),
    Mutant("packets sent again take no time", TRADE + "airtime.py", "one.mbits * one.tries /", "one.mbits /",
           (AIRTIME,)),
    Mutant("more errors the better the signal", TRADE + "airtime.py", "math.pow(10.0, -margin / FALL)",
           "math.pow(10.0, margin / FALL)", (AIRTIME,)),
    # water, ladders, eyes, wind, heat, sound
    Mutant("dew point over the room", TRADE + "dew.py", "B * gamma / (A - gamma)", "B * gamma / (A + gamma)", (DEW,)),
    Mutant("humidity the wrong way round", TRADE + "dew.py", "saturation(dew) / saturation(celsius)",
           "saturation(celsius) / saturation(dew)", (DEW,)),
    Mutant("what can be immersed takes any jet", TRADE + "ratings.py", "TOP_JET = 6", "TOP_JET = 8", (RATINGS,)),
    Mutant("NEMA 3R dust-protected", TRADE + "ratings.py", '"3R": (1, (4,))', '"3R": (5, (4,))', (RATINGS,)),
    Mutant("ladder's foot by a quarter of the height", TRADE + "ladder.py", "height / math.sqrt(1.0 - QUARTER**2)",
           "height * math.sqrt(1.0 + QUARTER**2)", (BY_TRADE + "ladder.py",)),
    Mutant("exposure of an eye linear", TRADE + "eye.py", "return watts_per_sr / distance**2",
           "return watts_per_sr / distance", (EYE,)),
    Mutant("infrared's short limit by another power", TRADE + "eye.py", "seconds**-0.75", "seconds**-0.25", (EYE,)),
    Mutant("pole's deflection taken for its slope", TRADE + "sway.py", "pole.length**2 / (2.0 * stiff)",
           "pole.length**2 / (3.0 * stiff)", (SWAY,)),
    Mutant("tube with one wall", TRADE + "sway.py", "outer - 2.0 * wall", "outer - wall", (SWAY,)),
    Mutant("stops gained by a short shutter", TRADE + "blur.py", "math.log2(now / wanted)",
           "math.log2(wanted / now)", (BY_TRADE + "blur.py",)),
    Mutant("face's angle from the vertical", TRADE + "face.py", "math.atan2(camera - face, distance)",
           "math.atan2(distance, camera - face)", (BY_TRADE + "face.py",)),
    Mutant("clear sky warms", TRADE + "heat.py", "absorptance * sun / film - sky", "absorptance * sun / film + sky",
           (HEAT,)),
    Mutant("ends of a housing's own rise swapped", TRADE + "heat.py",
           "return watts / (high * skin), watts / (usual * skin), watts / (low * skin)",
           "return watts / (low * skin), watts / (usual * skin), watts / (high * skin)", (HEAT,)),
    Mutant("night added to a whole day", TRADE + "storage.py", "(1.0 - night + night * factor)",
           "(1.0 + night * factor)", (KEPT,)),
    Mutant("fewest days by the lowest rate", TRADE + "storage.py", "zip(USABLE, reversed(rates),",
           "zip(USABLE, rates,", (KEPT,)),
    Mutant("sound of a line", TRADE + "sound.py", "20.0 * math.log10(max(distance", "10.0 * math.log10(max(distance",
           (BY_TRADE + "sound.py",)),
    # the sun on a place
    Mutant("sun shines through walls", STUDY + "sun.py", "return (self.owner < 0) & ~self.hills",
           "return ~self.hills", (GLARE_SUN,)),
    Mutant("sun's north on the wrong side", STUDY + "sun.py", "azimuth - site.plus_y, elevation",
           "azimuth + site.plus_y, elevation", (GLARE_SUN,)),
    Mutant("days between two looks forgotten", STUDY + "sun.py", "MINUTES / 60 * len(whole) / len(whole[::DAYS])",
           "MINUTES / 60", (GLARE_SUN,)),
    Mutant("sun seen under the hills", STUDY + "sun.py", "(elevation < hill.up)", "(elevation > hill.up)",
           (GLARE_SUN,)),
    Mutant("spells end with the year", STUDY + "sun_spells.py", "if over and len(runs) > 1:",
           "if not over and len(runs) > 1:", (GLARE_SUN,)),
    Mutant("crown of a tree lets all light through", STUDY + "shade.py", "np.where(crown, through, 1.0))",
           "1.0)", (SHADE,)),
    Mutant("hills shade no panel", STUDY + "shade.py", "np.where(solid | hills, 0.0,", "np.where(solid, 0.0,",
           (SHADE,)),
    Mutant("warm half of the year swapped", STUDY + "warmed.py", "WARM[latitude >= 0]", "WARM[latitude < 0]",
           (WEATHER,)),
    Mutant("eaves shade no housing", STUDY + "warmed.py", "strong[np.isinf(hits.t) & ~year.hills[strong]]",
           "strong[~year.hills[strong]]", (WEATHER,)),
    Mutant("hours on a jacket uncounted between looks", STUDY + "cable_sun.py", "free * suns.each * EVERY",
           "free * suns.each", (CABLE_SUN,)),
    # what is joined and what is on the way
    Mutant("injector's watts taken from the switch", STUDY + "load.py", "for feed in here if feed.port is switch",
           "for feed in here if feed.switch is switch", (STUDIES + "load.py",)),
    Mutant("slant through a wall seen from above", STUDY + "path.py",
           "abs(dx * wall.normal[0] + dy * wall.normal[1]) / math.dist(start, end)",
           "abs(dx * wall.normal[0] + dy * wall.normal[1]) / math.hypot(dx, dy)", (PATH,)),
    Mutant("floor above the top storey", STUDY + "path.py", "range(1, building.storeys)]",
           "range(1, building.storeys + 1)]", (PATH,)),
    Mutant("roof's slant by the sine", STUDY + "path.py", "_angle(abs(rise) / length)",
           "_angle(math.sqrt(1 - (rise / length) ** 2))", (PATH,)),
    Mutant("pipe of mains as thick as twice itself", STUDY + "way.py", "- thing.diameter / 2)", "- thing.diameter)",
           (WAY,)),
    Mutant("height over a meter forgotten", STUDY + "way.py", "return float(np.hypot(flat, rise).min())",
           "return float(flat.min())", (WAY,)),
    Mutant("rain's directions no unit vectors", STUDY + "rain.py", "flat = np.sqrt(1 - up**2)", "flat = 1 - up**2",
           (STUDIES + "run.py",)),
    # ground by day and by night
    Mutant("pixels of the sensor, not of what is kept", STUDY + "covered.py",
           "asked.recorded[0] / eye.pixels[0] if asked.recorded else 1.0", "1.0", (GROUND,)),
    Mutant("what a change is past not looked at anew", STUDY + "covered.py", "axis=1) <= radius).any()",
           "axis=1) <= 0.0).any()", (STUDIES + "covered.py",)),
    Mutant("gap though another camera shows it", STUDY + "covered_ground.py", "left = self.free & ~self.shown",
           "left = self.free", (STUDIES + "covered.py",)),
    Mutant("faces at the feet", STUDY + "covered_ground.py", "self.ground[:, 2] - face", "self.ground[:, 2]",
           (GROUND,)),
    Mutant("corners lose linearly", STUDY + "covered_ground.py", "loss * view.edge**2", "loss * view.edge",
           (STUDIES + "covered.py",)),
    Mutant("grey card multiplied in", STUDY + "after_dark.py", "* light.TARGET / GREY *", "* light.TARGET * GREY *",
           (DARK,)),
    Mutant("place used by all cameras or none", STUDY + "after_dark.py", "np.maximum.reduce(used)",
           "np.minimum.reduce(used)", (DARK,)),
    # people about a camera
    Mutant("infrared to an eye linear", STUDY + "standing.py", "cos ** _exponent(camera) / nearest**2",
           "cos ** _exponent(camera) / nearest", (PEER,)),
    Mutant("eye behind a wall dazzled", STUDY + "standing.py", "nearest[hits.t < nearest] = np.inf",
           "nearest[hits.t < 0.0] = np.inf", (PEER,)),
    Mutant("ladder leans as high as the work", STUDY + "climb.py", "ground + support])", "ground + work])",
           (CLIMB,)),
    Mutant("distance from a drill across corners", STUDY + "climb.py", "return np.asarray(np.hypot(flat, up))",
           "return np.asarray(flat + up)", (CLIMB,)),
    Mutant("somebody looked for where the van stands", STUDY + "moving.py", "room = ~_inside(thing, free.ground)",
           "room = np.ones(len(free.ground), dtype=np.bool_)", (MOVES,)),
    Mutant("footprint turned the other way", STUDY + "run_footing.py",
           "[math.cos(math.radians(thing.yaw)), math.sin(math.radians(thing.yaw))]",
           "[math.cos(math.radians(thing.yaw)), -math.sin(math.radians(thing.yaw))]", (STUDIES + "site_things.py",)),
    Mutant("window counts however coarse", STUDY + "private.py", "(found.pxm >= LEAST)", "(found.pxm >= 0.0)",
           (PRIVATE,)),
    Mutant("mask that is only planned counts", STUDY + "private.py", 'mask.set == "in-camera" and not cover.moves',
           "not cover.moves", (PRIVATE,)),
    Mutant("white without pi", STUDY + "retro.py", "math.pi * coefficient * near", "coefficient * near", (RETRO,)),
    Mutant("lamp aside brightens a sign", STUDY + "retro.py", "math.log2(near / far)", "math.log2(far / near)",
           (RETRO,)),
    Mutant("camera heard from above as from beside", STUDY + "earshot.py",
           "math.hypot(shapely.distance(here, ground), up)", "shapely.distance(here, ground)",
           (BY_RULE + "view_sound.py",)),
    Mutant("status light mirrored at the pane", STUDY + "pane.py", "(2.0 * gap) ** 2", "gap**2", (BEHIND,)),
    Mutant("worth of a lux swapped", STUDY + "pane.py", "lux / worth.high, lux / worth.usual, lux / worth.low",
           "lux / worth.low, lux / worth.usual, lux / worth.high", (BEHIND,)),
    Mutant("masked ground of others shown", STUDY + "others.py", "shown.seen & ~shown.masked", "shown.seen",
           (RECORDING,)),
    Mutant("zone's parts of unequal size", STUDY + "triggered.py", "reach * np.sqrt((np.arange(RINGS) + 0.5) / RINGS)",
           "reach * (np.arange(RINGS) + 0.5) / RINGS", (RECORDING,)),
    Mutant("way across taken for head-on", STUDY + "triggered.py", "math.acos(min(1.0, cosine))",
           "math.asin(min(1.0, cosine))", (RECORDING,)),
    Mutant("farthest filmed ground named", STUDY + "filmed.py", "return min(near,", "return max(near,", (RECORDING,)),
    Mutant("what comes and goes stands in the way", STUDY + "things.py",
           'if thing.there == "always" and not thing.trunk', "if not thing.trunk", (STUDIES + "site_things.py",)),
    # rules' figures
    Mutant("colder taken for warmer", RULES + "mount/temperature.py", "lowest - coldest,", "coldest - lowest,",
           (WEATHER,)),
    Mutant("gland too wide fits", RULES + "seal/gland_and_cable.py", "max(low - diameter, diameter - high)",
           "max(diameter - low, diameter - high)", (BY_RULE + "seal_breathing_and_boxes.py",)),
    Mutant("ends of dew's doubt swapped", RULES + "seal/breathing.py", "low - warmest, high - coldest",
           "low - coldest, high - warmest", (BY_RULE + "seal_breathing_and_boxes.py",)),
    Mutant("sealed hole lets all in", RULES + "seal/entry_hole.py", "(SEALED if hole.sealed else 1.0)",
           "(1.0 if hole.sealed else 1.0)", (BY_RULE + "seal_entry.py",)),
    Mutant("bend by a unit of ten", RULES + "cable/tight_bend.py", "conduit.bend_radius(diameter * 1000) / 1000",
           "conduit.bend_radius(diameter * 1000) / 100", (BY_RULE + "cable_conduits.py",)),
    Mutant("thickness of a gauge by half its area", RULES + "cable/clad_conductor.py",
           "math.sqrt(4 * cable.gauge.mm2 / math.pi)", "math.sqrt(2 * cable.gauge.mm2 / math.pi)",
           (BY_RULE + "cable_length.py",)),
    Mutant("minutes taken for hours", RULES + "power/holdover.py", "share * capacity * 60 / watts",
           "share * capacity / watts", (BY_RULE + "power_mains.py",)),
    Mutant("run rated one way", STUDY + "drop.py", "2 * metres * ohm_km(gauge, metal, celsius) / 1000",
           "metres * ohm_km(gauge, metal, celsius) / 1000", (BY_RULE + "power_volts.py",)),
    Mutant("best panel with the least taken", RULES + "power/winter_panel.py", "low / taken[2], high / taken[0]",
           "low / taken[0], high / taken[2]", (BY_RULE + "power_panel.py",)),
    Mutant("watts lost on the way unpaid", TRADE + "ethernet.py",
           "fits.port_watts / fits.watts if fits and gives != PASSIVE else 1.0", "1.0", (BY_RULE + "power_budget.py",)),
    Mutant("doubts of level and need added", RULES + "link/levels.py",
           "math.hypot(level[1] - level[0], least[2] - least[1])", "level[1] - level[0] + least[2] - least[1]",
           (BY_RULE + "link_signal.py", BY_RULE + "link_air.py")),
    Mutant("mirrored disks hold double", TRADE + "storage.py", "min(whole / 2, whole - max(disks))",
           "min(whole, whole)", (BY_RULE + "record_days.py",)),
    Mutant("drift in thousandths", RULES + "record/clock_drifts.py", "ppm * 1e-6 * UNTOUCHED", "ppm * 1e-3 * UNTOUCHED",
           (BY_RULE + "record_stated.py",)),
    Mutant("seconds kept from before add to the wait", RULES + "record/trigger_misses.py",
           "max(0.0, lag - before) * speed", "max(0.0, lag + before) * speed", (BY_RULE + "record_trigger.py",)),
    Mutant("height by a housing's middle", LOCAL + "sited.py", "- (size[1] / 2 if size else 0.0)", "",
           (BY_RULE + "local.py",)),
    Mutant("bracket reaches less far than the housing", LOCAL + "sited.py", "from_wall + deep)", "from_wall)",
           (BY_RULE + "local.py",)),
)  # fmt: skip
