"""Slips of the pen in the physics, each with the tests that must notice it.

A mutant is one file's text with one piece of it put otherwise: a cosine dropped, a square
made linear, a sign turned, a shadow gone. Its original text stands exactly once in its file.
"""

from __future__ import annotations

from dataclasses import dataclass

STUDY, TRADE, PLACE, PLAN = (f"linter/oneclimb/{room}/" for room in ("study", "trade", "place", "plan"))

LIGHT = "tests/trade/test_light.py"
LAMPS = "tests/trade/test_materials.py"
EXPOSURE = "tests/trade/test_exposure.py"
GLASS = "tests/trade/test_glass.py"
OPTICS = "tests/trade/test_optics.py"
PIXELS = "tests/trade/test_pixels.py"
REACH = "tests/trade/test_reach.py"
INGRESS = "tests/trade/test_ingress.py"
STORAGE = "tests/trade/test_storage.py"
NIGHT = "tests/study/test_night.py"
COVER = "tests/study/test_cover.py"
RASTER = "tests/study/test_raster.py"
TURNS = "tests/study/test_turns.py"
RUN = "tests/study/test_run.py"
LENS = "tests/place/test_lens.py"
SCENE = "tests/place/test_scene.py"
SOLIDS = "tests/place/test_solids.py"
PLACES = "tests/plan/test_places.py"
UNITS = "tests/plan/test_units.py"
THINGS = "tests/plan/test_things.py"


@dataclass(frozen=True, slots=True)
class Mutant:
    """One slip: what it is, where, the text as it stands and as it would be, who must notice."""

    slip: str
    file: str
    original: str
    mutated: str
    noticed_by: tuple[str, ...]


MUTANTS = (
    # light
    Mutant("inverse square made linear", TRADE + "light.py", "/ (np.asarray(distance_squared) + radius * radius)",
           "/ np.sqrt(np.asarray(distance_squared) + radius * radius)", (LIGHT,)),
    Mutant("cosine of incidence dropped", TRADE + "light.py", "intensity * np.asarray(cos_incidence) /",
           "intensity * np.ones_like(cos_incidence) /", (LIGHT,)),
    Mutant("beam a plain cosine", TRADE + "light.py", "np.maximum(cosine, 0.0) ** exponent", "np.maximum(cosine, 0.0)",
           (LIGHT,)),
    Mutant("half angle taken for the whole", TRADE + "led.py", "math.log(math.cos(math.radians(half_angle)))",
           "math.log(math.cos(math.radians(half_angle / 2)))", (LIGHT,)),
    Mutant("flux of a beam over the whole sphere", TRADE + "led.py", "2.0 * math.pi / (exponent + 1.0)",
           "4.0 * math.pi / (exponent + 1.0)", (LIGHT,)),
    Mutant("person lit alike from all sides", TRADE + "light.py", "cosine = np.clip(cosine, -1.0, 1.0)",
           "cosine = np.ones_like(cosine)", (LIGHT,)),
    Mutant("shares of stray light swapped", TRADE + "light.py",
           "inside * np.asarray(received_inside) + outside * np.asarray(received_outside)",
           "outside * np.asarray(received_inside) + inside * np.asarray(received_outside)", (LIGHT,)),
    Mutant("no stray light from outside the frame", TRADE + "light.py", "+ outside * np.asarray(received_outside)",
           "+ 0.0 * np.asarray(received_outside)", (LIGHT,)),
    Mutant("no stray light from inside the frame", TRADE + "light.py", "(inside * np.asarray(received_inside) +",
           "(0.0 * np.asarray(received_inside) +", (LIGHT,)),
    Mutant("sheeting shines back as well from near", TRADE + "light.py", "1.0 / (1.0 + ratio * ratio)",
           "1.0 / (1.0 + 0.0 * ratio)", (LIGHT,)),
    Mutant("bare lamp sends into half the sphere", TRADE + "lamps.py", "lumens / (4.0 * math.pi)",
           "lumens / (2.0 * math.pi)", (LAMPS,)),
    Mutant("intensity linear in the rated range", TRADE + "lamps.py", "return rated_range * rated_range",
           "return rated_range * 30.0", (LAMPS,)),
    # a camera's night
    Mutant("own light ignores how a surface lies", STUDY + "night_field.py",
           "received = square_on * np.abs(facing)", "received = square_on", (NIGHT,)),
    Mutant("own light falls with the distance only", STUDY + "night_field.py",
           "lit.beam / (apart * apart + own.radius * own.radius)", "lit.beam / (apart + own.radius)", (NIGHT,)),
    Mutant("own light without a beam", STUDY + "night_field.py", "square_on = own.peak * lit.beam /",
           "square_on = own.peak * np.ones_like(lit.beam) /", (NIGHT,)),
    Mutant("light on the glass without its cosine", STUDY + "night_field.py",
           "np.maximum(grid.cos, 0.0) * grid.solid", "grid.solid", (NIGHT,)),
    Mutant("light of others passes through walls", STUDY + "night_others.py",
           "free = on.raster.scene.visible(starts, ends, on.raster.absent)",
           "free = np.ones(len(starts), dtype=np.bool_)", (NIGHT,)),
    Mutant("standing person lit as if flat", STUDY + "night_others.py",
           "np.maximum(ways.z[:, surfaces:], 0.0), phase)", "np.maximum(ways.z[:, surfaces:], 0.0), 1.0)", (NIGHT,)),
    Mutant("other sources' light ignores how a surface lies", STUDY + "night_others.py",
           "share = np.maximum(cosine, 0.0)", "share = np.ones_like(cosine)", (NIGHT,)),
    Mutant("source behind the eight that matter forgotten", STUDY + "night_others.py",
           "lost[shown] = most[~kept, :targets].sum(axis=0)", "lost[shown] = 0.0", (NIGHT,)),
    Mutant("infrared of another wavelength counts whole", STUDY + "night_build.py",
           'constant(plan, "other-wavelength").usual', "1.0", (NIGHT,)),
    Mutant("pane before the camera passed once", STUDY + "night_build.py",
           "peak=own.peak * through * through", "peak=own.peak * through", (NIGHT,)),
    Mutant("dirty front strays like a clean one", STUDY + "night_build.py",
           'if camera.front == "dirty" else 1.0', 'if camera.front == "sooty" else 1.0', (NIGHT,)),
    Mutant("mirrored lamp seen at the pane's distance", STUDY + "night_glass.py",
           "4.0 * np.maximum(apart, own.touching) ** 2", "1.0 * np.maximum(apart, own.touching) ** 2", (NIGHT,)),
    Mutant("pane's own gap counted once", STUDY + "night_glass.py", "(2.0 * gap) ** 2", "gap**2", (NIGHT,)),
    Mutant("light in the frame counted as outside too", STUDY + "night_glass.py", "rays[keep & ~inside]",
           "rays[keep]", (NIGHT,)),
    Mutant("bubble taken for a flat window", STUDY + "night_glass.py",
           "glass.dome_share(toward @ np.array(glazed.dome_axis))", "flat", (NIGHT,)),
    Mutant("bubble's projected area a cosine", TRADE + "glass.py", "return np.asarray((1.0 + cosine) / 2.0)",
           "return np.asarray(np.maximum(cosine, 0.0))", (GLASS,)),
    Mutant("hood of no effect", TRADE + "glass.py", "np.where(cosine > cut,", "np.where(cosine > 0.0,", (GLASS,)),
    Mutant("all goes dark with one thing", STUDY + "night.py",
           "gives[self.raster.scene.owned_by(self.dark)] = False", "gives[:] = False", (NIGHT,)),
    Mutant("worst of the ratios made the best", STUDY + "night_view.py", "return min(left, *reaches)",
           "return max(left, *reaches)",
           (NIGHT, "tests/acceptance/test_demonstrations.py")),
    Mutant("reach goes on behind a gap", STUDY + "night_view.py", "j = first + int(lost.argmax())",
           "j = len(along) - 1", (NIGHT,)),
    # the picture
    Mutant("exposure by the unclipped mean", TRADE + "exposure.py", "lit = signals * k < 1.0",
           "lit = signals * k < np.inf", (EXPOSURE,)),
    Mutant("gain without an end", TRADE + "exposure.py", "most = 1.0 / full_scale", "most = 1e9 / full_scale",
           (EXPOSURE,)),
    Mutant("blown-out targets serve", TRADE + "exposure.py",
           "np.minimum(np.minimum(noise, blown), clear)", "np.minimum(noise, clear)", (EXPOSURE,)),
    Mutant("veiled targets serve", TRADE + "exposure.py",
           "np.minimum(np.minimum(noise, blown), clear)", "np.minimum(noise, blown)", (EXPOSURE,)),
    Mutant("veil adds nothing to white", TRADE + "exposure.py", "white / (gain * (light + veil))",
           "white / (gain * light)", (EXPOSURE,)),
    Mutant("centre-weighted metering even", TRADE + "exposure.py", "np.exp(-4.0 * (x[None, :] ** 2",
           "np.exp(-0.0 * (x[None, :] ** 2", (EXPOSURE,)),
    # lenses and panes
    Mutant("tilt looks up", PLACE + "lens.py", "math.cos(t) * math.cos(b), -math.sin(t))",
           "math.cos(t) * math.cos(b), math.sin(t))", (LENS,)),
    Mutant("north on the wrong side", PLACE + "lens.py", "math.radians(bearing - plus_y)",
           "math.radians(bearing + plus_y)", (LENS,)),
    Mutant("camera turned the other way", PLACE + "lens.py", "c, s = math.cos(r), math.sin(r)",
           "c, s = math.cos(r), -math.sin(r)", (LENS,)),
    Mutant("glass at the screw hole", PLACE + "lens.py", "spot.z + housing.out * normal[2]",
           "spot.z + 0.0 * normal[2]", (LENS,)),
    Mutant("px/m by the whole angle", TRADE + "pixels.py", "pixels / (2 * math.tan(angle / 2))",
           "pixels / (2 * math.tan(angle))", (PIXELS,)),
    Mutant("px/m of an equidistant lens by the tangent", TRADE + "pixels.py", "pixels / angle if equidistant",
           "pixels / (2 * math.tan(angle / 2)) if equidistant", (PIXELS,)),
    Mutant("angle of view by the whole sensor", PLAN + "lenses.py", "math.atan(width / (2 * focal))",
           "math.atan(width / focal)", (THINGS,)),
    Mutant("pane of one face", TRADE + "optics.py", "sum((2 * r / (1 + r) for r in faces)", "sum((r for r in faces)",
           (OPTICS,)),
    Mutant("pixels all of one size", TRADE + "optics.py", "corner = np.arctan(a * b / np.sqrt(1 + a**2 + b**2))",
           "corner = a * b", (OPTICS,)),
    Mutant("picture upside down", TRADE + "optics.py", "up = (1 - 2 * y) * math.tan(", "up = (2 * y - 1) * math.tan(",
           (OPTICS,)),
    Mutant("fisheye rays by the chord", TRADE + "optics.py", "scale = np.sinc(theta / np.pi)",
           "scale = np.sinc(theta / np.pi / 2)", (OPTICS,)),
    # the place
    Mutant("nearest surface forgotten behind what is taken away", PLACE + "scene.py", "t[again] = passed + more",
           "t[again] = more", (SCENE,)),
    Mutant("surfaces shade themselves", PLACE + "scene.py", "np.maximum(1e-3, 2e-5 * distance)", "0.0 * distance",
           (SCENE,)),
    Mutant("pipes by their corners", PLACE + "shapes.py",
           "radius = (math.pi / SIDES) / math.sin(math.pi / SIDES)", "radius = 1.2", (SOLIDS,)),
    Mutant("things turned the other way", PLACE + "objects.py",
           "c, s = np.cos(np.radians(yaw)), np.sin(np.radians(yaw))",
           "c, s = np.cos(np.radians(yaw)), -np.sin(np.radians(yaw))", (SOLIDS,)),
    Mutant("along counted from the right", PLAN + "where.py", "return (-wall.normal[1], wall.normal[0])",
           "return (wall.normal[1], -wall.normal[0])", (PLACES,)),
    Mutant("bearings anticlockwise", PLAN + "here.py", "(_trim(math.sin(angle)), _trim(math.cos(angle)))",
           "(_trim(-math.sin(angle)), _trim(math.cos(angle)))", (PLACES,)),
    Mutant("US survey foot", PLAN + "units.py", "FOOT = 0.3048", "FOOT = 0.3048006", (UNITS,)),
    # what is seen
    Mutant("hidden samples are seen", STUDY + "cover.py", "seen = in_frame & (hidden < 0)", "seen = in_frame",
           (COVER,)),
    Mutant("angle of sight upwards", STUDY + "cover.py", "np.arctan2(-path[:, 2],", "np.arctan2(path[:, 2],",
           (COVER,)),
    Mutant("sky counted as a thing", STUDY + "raster.py", "owners[i - 1] if i else SKY", "owners[i - 1]",
           (RASTER,)),
    Mutant("turned frames to the other side", STUDY + "turns.py", "(np.array(PANS) // STEP * CELLS)[None, :, None]",
           "(-np.array(PANS) // STEP * CELLS)[None, :, None]", (TURNS,)),
    # cables, water, storage
    Mutant("shorter arms", TRADE + "reach.py", "REACH_UP = 2.5", "REACH_UP = 2.0", (REACH, RUN)),
    Mutant("arms of any length sideways", TRADE + "reach.py", "REACH_SIDEWAYS = 1.25", "REACH_SIDEWAYS = 2.5",
           (REACH, RUN)),
    Mutant("sun in the north everywhere", TRADE + "reach.py", "180.0 if latitude > 0 else 0.0", "0.0", (REACH,)),
    Mutant("steeper rain", TRADE + "ingress.py", "SPRAY = 60.0", "SPRAY = 45.0", (INGRESS,)),
    Mutant("rain level", STUDY + "rain.py", "up = 1 - i / count * (1 - math.cos(math.radians(SPRAY)))",
           "up = 1 - i / count", (RUN,)),
    Mutant("salt that reaches no shore", TRADE + "ingress.py", "SALT * math.exp(-coast / SALT_FADES)",
           "SALT * math.exp(-coast / SALT_FADES / SALT_FADES)", (INGRESS,)),
    Mutant("bits taken for bytes", TRADE + "storage.py", "86400 / 8000", "86400 / 1000", (STORAGE,)),
    Mutant("battery that lasts by the square", TRADE + "storage.py", "return capacity / watts",
           "return capacity / watts / watts", (STORAGE,)),
)  # fmt: skip
