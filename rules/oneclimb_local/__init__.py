"""Rules of one country each: dated, with the instrument they were written from; the model for a pack of one's own.

Each is idle unless the site names its country. A clean report is not permission.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from oneclimb.api import API_VERSION, Later, PackError, pack_hook

if TYPE_CHECKING:
    from oneclimb.api import Into

RULES = (
    ("LOCAL-01", "oneclimb_local.england_class_f:EnglandClassF"),
    ("LOCAL-02", "oneclimb_local.scotland_class_72:ScotlandClass72"),
)
"""code, where its class is; all are about the site, and speak only of a plan that names a country"""


@pack_hook
def oneclimb_pack(into: Into) -> None:
    """Register every rule of this pack, to be imported when a plan names a country."""
    if into.api != API_VERSION:
        raise PackError(f"these rules are written for API version {API_VERSION}, not {into.api}")
    for code, at in RULES:
        into.rule(Later(code, at, "site", frozenset({"country"})))
