"""How fast, against peers in the same run; prints ratios. Not collected by pytest.

    .venv/bin/pip install -e '.[test,bench]'
    .venv/bin/python tests/bench/speed.py [cameras ...]

Peers: yamllint (reads the same file), check-jsonschema (reads it and checks the same schema),
bare Embree (the same rays against the same triangles).
"""

from __future__ import annotations

import json
import re
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from sites import site

HERE = Path(sys.executable).parent
TURNS = {60: 9}
"""how often each command is run, by the most cameras"""
FEW = 3
"""how often on larger sites"""


def timed(commands: list[list[str]], folder: str, turns: int) -> tuple[list[float], str]:
    """Median wall time of each command's whole process, s, and what the first last said.

    They take turns, so that a machine that is slow for a while is slow for all; the first turn, which reads the disk,
    is not counted.
    """
    times: list[list[float]] = [[] for _ in commands]
    said = ""
    for turn in range(turns + 1):
        for command, taken in zip(commands, times, strict=True):
            start = time.perf_counter()
            done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
            if turn:
                taken.append(time.perf_counter() - start)
            if done.returncode not in (0, 1):
                raise SystemExit(f"{command}: status {done.returncode}\n{(done.stdout + done.stderr)[-2000:]}")
            if taken is times[0]:
                said = done.stdout + done.stderr
    return [statistics.median(taken) for taken in times], said


def rays(path: Path) -> tuple[float, float]:
    """Seconds of all rasters, and of bare Embree on the same rays."""
    import numpy as np
    from embreex.mesh_construction import TriangleMesh
    from embreex.rtcore_scene import EmbreeScene

    from oneclimb import kit
    from oneclimb.engine.world import NOUNS, Shared, World
    from oneclimb.place.embree import DEVICE
    from oneclimb.plan.read import load
    from oneclimb.study import RASTER, SCENE

    loaded = load(str(path), kit.packs().kinds, kit.schemas(), None)
    world = World(loaded, Shared(NOUNS, kit.DAY))
    scene = world.of(SCENE, world.plan.site)
    peer = EmbreeScene(DEVICE, robust=True)
    mesh = TriangleMesh(peer, (scene.solids.triangles - scene.origin).astype(np.float32))
    ours = bare = 0.0
    for camera in world.plan.cameras:
        start = time.perf_counter()
        raster = world.of(RASTER, camera)
        ours += time.perf_counter() - start
        origins = np.ascontiguousarray(np.broadcast_to(raster.origin - scene.origin, raster.dirs.shape), np.float32)
        dirs = raster.dirs.astype(np.float32)
        start = time.perf_counter()
        peer.run(origins, dirs, output=1)
        bare += time.perf_counter() - start
        world.forget()
    del mesh
    return ours, bare


def main(sizes: list[int]) -> None:
    """Print a table."""
    with tempfile.TemporaryDirectory() as folder:
        schema = Path(folder) / "composed.json"
        schema.write_text(
            subprocess.run([HERE / "oneclimb", "schema"], capture_output=True, text=True, check=True).stdout
        )
        for size in sizes:
            path = Path(folder) / f"site-{size}.plan.yaml"
            path.write_text(site(size), encoding="utf-8")
            commands = [
                [str(HERE / "oneclimb"), "check", "--timing", "--fail-at", "never", path.name],
                [str(HERE / "yamllint"), "-d", "{rules: {}}", path.name],
                [str(HERE / "yamllint"), "-d", "relaxed", path.name],
                [str(HERE / "check-jsonschema"), "--schemafile", schema.name, path.name],
            ]
            turns = next((count for most, count in TURNS.items() if size <= most), FEW)
            (check, lint, full, judged), said = timed(commands, folder, turns)
            ours, bare = rays(path)
            print(f"\n{size} cameras, {path.stat().st_size / 1e6:.2f} MB")
            print(f"  oneclimb check      {check:7.2f} s   {1000 * check / size:7.2f} ms a camera")
            print(f"  check-jsonschema    {judged:7.2f} s   ratio {check / judged:5.2f}")
            print(f"  yamllint relaxed    {full:7.2f} s   ratio {check / full:5.2f}   (no rules: {lint:.2f} s)")
            print(f"  rasters             {ours:7.2f} s   {ours / bare:5.2f} x bare Embree on the same rays")
            print("  " + "\n  ".join(line for line in said.splitlines() if re.search(r"\d (ms|s)\b", line))[-1500:])
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(json.dumps({"peak MiB of any child": round(peak)}))


if __name__ == "__main__":
    main([int(arg) for arg in sys.argv[1:]] or [6, 60, 600, 1000])
