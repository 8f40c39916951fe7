"""LOCAL-01: England's planning class for security cameras."""

from __future__ import annotations

from oneclimb.api import Info
from oneclimb_local.camera_class import CameraClass


class EnglandClassF(CameraClass):
    """Height, standing out, distance, number and size, as the class has them."""

    info = Info(
        code="LOCAL-01",
        title="beyond England's class for security cameras",
        sources=(
            "SI 2015/596, Schedule 2, Part 2, Class F (figures read on legislation.gov.uk)",
            "listed buildings, doorbells: from memory, check against the document",
        ),
        page="england_class_f.md",
        instrument="SI 2015/596, Schedule 2, Part 2, Class F (England, planning), as of 2026-11-25",
        countries=("england", "england uk", "england united kingdom", "uk england", "gb eng", "england gb"),
    )
    name = "England, Class F"
