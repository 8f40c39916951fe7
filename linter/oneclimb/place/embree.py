"""The Embree caster: float32, watertight, lets other threads run."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from embreex.mesh_construction import TriangleMesh
from embreex.rtcore import EmbreeDevice
from embreex.rtcore_scene import EmbreeScene

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Single = NDArray[np.float32]

DEVICE = EmbreeDevice()
"""Shared by all scenes: with a device each, about a thousand scenes alive at once crash the process."""
NONE = 1e36
"""Embree gives about 1e37 where a ray meets nothing."""


class Embree:
    """Casts at triangles (m, 3, 3), float32."""

    def __init__(self, triangles: Single) -> None:
        self._scene: Any = EmbreeScene(DEVICE, robust=True)
        self._mesh = TriangleMesh(self._scene, triangles)

    def nearest(self, origins: Single, rays: Single) -> tuple[Single, NDArray[np.int32]]:
        """Distance (n,), inf for none, and triangle (n,), -1 for none, of the first surface on each ray."""
        hits = self._scene.run(origins, rays, output=1)
        far: Single = hits["tfar"]
        far[far >= NONE] = np.inf
        return far, hits["primID"]

    def blocked(self, origins: Single, rays: Single, reach: Single) -> NDArray[np.bool_]:
        """Whether anything lies on each ray before ``reach`` (n,)."""
        return np.asarray(self._scene.run(origins, rays, dists=reach, query="OCCLUDED") >= 0)
