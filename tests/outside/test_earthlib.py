"""Reflectances against the open spectral library they cite (earthlib 1.1.0, MIT)."""

import csv
import importlib.util
import re
from pathlib import Path

import numpy as np
import pytest

from oneclimb.trade.materials import BUILT_IN, WAVELENGTHS

CITED = {name: m for name, m in BUILT_IN.items() if m.source.startswith("earthlib")}
GROUP = re.compile(r"earthlib 1\.1\.0 (\w+)/(\w+)/([\w-]+) \((\d+)\)")
BANDS = 180
"""0.40 to 2.45 µm, per the header of the library's file"""


@pytest.fixture(scope="module")
def spectra() -> np.ndarray:
    spec = importlib.util.find_spec("earthlib")
    assert spec is not None
    assert spec.origin is not None
    data = Path(spec.origin).parent / "data"
    return np.fromfile(data / "spectra.sli", "<f4").reshape(-1, BANDS)


@pytest.fixture(scope="module")
def groups() -> list[tuple[str, str, str]]:
    spec = importlib.util.find_spec("earthlib")
    assert spec is not None
    assert spec.origin is not None
    with (Path(spec.origin).parent / "data" / "spectra.csv").open() as file:
        return [(row["LEVEL_2"], row["LEVEL_3"], row["SOURCE"]) for row in csv.DictReader(file)]


@pytest.fixture(scope="module")
def bands() -> list[int]:
    spec = importlib.util.find_spec("earthlib")
    assert spec is not None
    assert spec.origin is not None
    header = (Path(spec.origin).parent / "data" / "spectra.sli.hdr").read_text()
    listed = re.search(r"wavelength = \{(.*?)\}", header, re.DOTALL)
    assert listed is not None
    micrometres = np.array([float(word) for word in listed.group(1).split(",")])
    return [int(np.argmin(np.abs(micrometres - nm / 1000.0))) for nm in WAVELENGTHS]


def test_many_materials_are_measured_ones() -> None:
    assert len(CITED) >= 12


@pytest.mark.parametrize("name", CITED)
def test_reflectance_is_the_librarys(
    name: str, spectra: np.ndarray, groups: list[tuple[str, str, str]], bands: list[int]
) -> None:
    """Low, usual and high are the 10th, 50th and 90th percentile, within one per cent of full reflectance."""
    found = GROUP.match(CITED[name].source)
    assert found is not None
    group, count = found.groups()[:3], int(found.group(4))
    chosen = spectra[[g == group for g in groups]]
    assert len(chosen) == count
    for nm, band in zip(WAVELENGTHS, bands, strict=True):
        ours = CITED[name].reflectance[nm]
        measured = np.percentile(chosen[:, band], [10, 50, 90])
        assert (ours.low, ours.usual, ours.high) == pytest.approx(tuple(measured), abs=0.01)
