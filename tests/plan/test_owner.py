"""The owner's file."""

from __future__ import annotations

from pathlib import Path

from oneclimb.plan.limits import Limits
from oneclimb.plan.owner import Owner, load_owner
from oneclimb.plan.schema import OWNER, Schemas
from plan.written import HOUSE, only, site, under

SCHEMAS = Schemas({}, {}, OWNER)


def test_an_owners_settings_and_deviations_are_read(tmp_path: Path) -> None:
    file = tmp_path / "owner.yaml"
    file.write_text(
        "settings: {GLARE-01: {warning: 10 %, level: error}}\n"
        "deviations: [{code: SEAL-01, at: camera/x, reason: dry, agreed: me, until: 2026-12-31}]\n",
        encoding="utf-8",
    )
    owner = load_owner(str(file), SCHEMAS)
    assert isinstance(owner, Owner)
    assert dict(owner.settings["GLARE-01"]) == {"warning": 0.1, "level": "error"}
    assert owner.deviations[0].until == "2026-12-31"


def test_an_owners_file_has_faults_like_a_plan(tmp_path: Path) -> None:
    def codes(text: str, limits: Limits | None = None) -> list[str]:
        file = tmp_path / "owner.yaml"
        file.write_text(text, encoding="utf-8")
        found = load_owner(str(file), SCHEMAS, limits)
        assert not isinstance(found, Owner)
        return [fault.code for fault in found]

    assert codes("cameras: []") == ["PLAN-11"]
    assert codes("settings: [") == ["PLAN-05"]
    assert codes("deviations: [{code: A, at: b, reason: c, agreed: d}]") == ["PLAN-15"]
    assert codes("deviations: [{code: SEAL-01, at: b, reason: c, agreed: d, until: 2026-02-30}]") == ["PLAN-27"]
    assert codes("settings: {GLARE-01: {warning: 3 furlongs}}") == ["PLAN-15"]
    assert codes("settings: {}", Limits(file_bytes=3)) == ["PLAN-02"]


def test_a_plan_given_as_an_owners_file_is_told_in_one_line(tmp_path: Path) -> None:
    file = tmp_path / "a.plan.yaml"
    file.write_text(site("settings: {GLARE-01: {warning: 10 %}}"), encoding="utf-8")
    found = load_owner(str(file), SCHEMAS)
    assert not isinstance(found, Owner)
    (fault,) = found
    assert (fault.code, fault.text) == ("PLAN-11", "this is a plan, not an owner's file: it has `cameras`")
    assert under(fault, file.read_text(encoding="utf-8")) == "cameras"


def test_an_owners_file_given_as_a_plan_is_told_in_one_line() -> None:
    for text in ("settings: {}\n", "version: 1\ndeviations: []\n", "settings: {GLARE-01: {warning: x}}\n"):
        fault = only(text)
        assert (fault.code, fault.span.line) == ("PLAN-12", 1)
        assert "this looks like an owner's file, not a plan" in fault.text
        assert "--owner" in fault.hint
    assert "owner" not in only(HOUSE).text
