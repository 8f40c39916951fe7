"""The pictures the README shows are what its command draws."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
from PIL import Image

from oneclimb import kit
from oneclimb.draw import Sitting, ink, pictures
from oneclimb.review import check, world_of

ROOT = Path(__file__).parents[2]
SHOWN = ROOT / "examples/two-cameras/pictures"
NEAR = 3.0
"""grey levels of 255 by which a picture may differ on average: other versions set letters a little differently"""


def test_each_picture_in_the_readme_is_the_one_that_is_drawn_today() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    review = check(str(ROOT / "examples/two-cameras/cottage.plan.yaml"), kit.packs(), kit.schemas(), today=kit.DAY)
    sitting = Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY))
    drawn = {one.name: one for one in pictures(sitting, ["site", "other"])}
    files = sorted(SHOWN.iterdir())
    assert len(files) == 2
    for file in files:
        assert f"](examples/two-cameras/pictures/{file.name})" in text
        old = np.asarray(Image.open(file).convert("L"), dtype=np.float64)
        new = np.asarray(Image.open(io.BytesIO(ink.png(drawn[file.stem]))).convert("L"), dtype=np.float64)
        assert new.shape == old.shape
        assert np.abs(new - old).mean() < NEAR
