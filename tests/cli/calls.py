"""Calling the real command."""

from __future__ import annotations

import os
import subprocess
import sysconfig
from pathlib import Path

COMMAND = str(Path(sysconfig.get_path("scripts")) / "oneclimb")
PLAN = """\
units: metres
site: {name: Heron Cottage, country: England}
house: {front: {faces: 200, width: 11.4}, depth: 7.2}
areas:
  - {id: gate, for: recognise, wall: front, along: 9, out: 8}
cameras:
  - {id: drive-cam, shape: turret, pixels: 2560 x 1440, view: 90 deg, infrared: 30 m,
     mount: {wall: front, along: 5.7, height: 2.4}, aim: gate}
"""
NEW = (
    "--units",
    "metres",
    "--faces",
    "200",
    "--width",
    "11.4",
    "--depth",
    "7.2",
    "--eave-height",
    "2.7",
    "--eave-depth",
    "0.45",
    "--boundary",
    "9, 3, 14, 1.5",
    "--pixels",
    "2560 x 1440",
    "--view",
    "100",
    "--infrared",
    "30 m",
    "--camera",
    "front, 11.2, 2.5, gate, 9.5, 8",
)


def oneclimb(*args: str, cwd: Path, env: dict[str, str] | None = None) -> subprocess.CompletedProcess[str]:
    """Run ``oneclimb`` as its own process in a folder."""
    return subprocess.run(
        [COMMAND, *args],
        cwd=cwd,
        env={**os.environ, **(env or {})},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        stdin=subprocess.DEVNULL,
        timeout=120,
    )
