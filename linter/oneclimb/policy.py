"""Policy: which limits are in force, where each comes from, and what has been accepted.

Three sources in order: the pack's defaults, the plan's ``settings``, the owner's file. Where
the owner's file speaks of a rule, the plan's own settings of that rule are not used at all;
and a plan cannot change a safety rule. With an owner's file only its deviations accept
findings: those in the plan are proposals.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, Literal

from msgspec import Struct
from msgspec.structs import replace

from oneclimb.api import LEVELS, Finding, Level, Limits, Reading, Ref, Rule
from oneclimb.plan.model import Deviation

Source = Literal["default", "plan", "owner"]
RUN_OUT, UNUSED, OVERRULED, SILENCED, PROPOSED, OFF = (f"PLAN-9{n}" for n in range(6))


class InForce(Struct, frozen=True):
    """A rule's settings in force, its fixed level if one is set, and each value's source."""

    settings: Any
    level: Level | Literal["none"] | None
    origin: Mapping[str, Source]


class Accepted(Struct, frozen=True):
    """A finding that somebody has accepted, and on what terms."""

    finding: Finding
    deviation: Deviation
    safety: bool


class Policy:
    """The settings and deviations of one review (``engine.measure.Judge``)."""

    def __init__(
        self,
        rules: Iterable[Rule[Any]],
        plan: Mapping[str, Mapping[str, Any]],
        owner: Mapping[str, Mapping[str, Any]],
    ) -> None:
        self.findings: list[Finding] = []
        self.safety = frozenset(rule.info.code for rule in rules if rule.info.safety)
        self.in_force = {rule.info.code: self._resolve(rule, plan, owner) for rule in rules}

    def settings(self, rule: Rule[Any]) -> Any:
        """The settings in force for a rule."""
        return self.in_force[rule.info.code].settings

    def plain(self, rule: Rule[Any], reading: Reading) -> Level | None:
        """A reading's level by its middle value alone, the doubt left aside."""
        force = self.in_force[rule.info.code]
        if force.level == "none":
            return None
        worst = rule.level(reading, reading.figure.value, force.settings)
        return worst and (force.level or worst)

    def level(self, rule: Rule[Any], reading: Reading) -> tuple[Level | None, bool]:
        """A reading's level; lowered by one, to a note at least, where the limit lies inside its doubt."""
        worst = self.plain(rule, reading)
        force = self.in_force[rule.info.code]
        if worst is None or force.level:
            return worst, False
        kindest = rule.level(reading, reading.settled().figure.kindest, force.settings)
        softened = _rank(kindest) < _rank(worst)
        return (_lower(worst) if softened else worst), softened

    def _resolve(self, rule: Rule[Any], plan: Mapping[str, Any], owner: Mapping[str, Any]) -> InForce:
        code = rule.info.code
        settings = rule.settings()
        level: Any = None
        origin: dict[str, Source] = dict.fromkeys(settings.described, "default")
        origin |= dict.fromkeys(LEVELS, "default")
        given = plan.get(code, {})
        for name in given:
            if code in owner:
                text = f"the owner's file speaks of {code}; the plan's own {name} is not used"
                self._note(code, OVERRULED, name, text)
            elif rule.info.safety:
                text = f"{code} is a safety rule: a plan cannot change it, only the owner's file can"
                self._note(code, SILENCED, name, text)
        source: Source = "owner" if code in owner else "plan"
        taken = owner.get(code, {} if rule.info.safety else given)
        if source == "plan" and taken.get("level") == "none":
            self._note(code, OFF, "level", f"the plan turns {code} off ({rule.info.title}): nothing of it was told")
        for name, value in taken.items():
            key = name.replace("-", "_")
            if key == "level":
                level = value
            elif key in LEVELS:
                settings = replace(settings, limits=_with(settings.limits, key, value))
            else:
                settings = replace(settings, **{key: value})
            origin[key] = source
        return InForce(settings, level, origin)

    def _note(self, code: str, plan_code: str, name: str, text: str) -> None:
        self.findings.append(Finding(plan_code, "note", Ref("settings", code, name), text, key=name))

    def accept(
        self,
        findings: Iterable[Finding],
        plan: Sequence[Deviation],
        owner: Sequence[Deviation] | None,
        today: dt.date,
    ) -> tuple[list[Finding], list[Accepted]]:
        """Split findings into those that stand and those accepted, by the owner's deviations where there is an
        owner's file (``owner`` is None where there is none), else by the plan's.

        A deviation of the plan that has run out, matches nothing, or is only proposed, becomes a finding of its own;
        one of the owner's may be meant for another plan, and counts only where it matches.
        """
        stand: list[Finding] = []
        accepted: list[Accepted] = []
        deviations = plan if owner is None else owner
        used: set[Deviation] = set()
        for finding in findings:
            matching = sorted((d for d in deviations if _matches(d, finding)), key=lambda d: _run_out(d, today))
            used.update(matching)
            if matching and not _run_out(matching[0], today):
                accepted.append(Accepted(finding, matching[0], finding.code in self.safety))
            else:
                stand.append(finding)
        told = _proposed(plan, owner) if owner is not None else _left(plan, used, today)
        return [*stand, *told], sorted(accepted, key=lambda a: (not a.safety, a.finding.path))


def _proposed(plan: Sequence[Deviation], owner: Sequence[Deviation]) -> Iterator[Finding]:
    """The plan's deviations that the owner's file does not hold."""
    held = {(deviation.code, deviation.at) for deviation in owner}
    for i, deviation in enumerate(plan, 1):
        if (deviation.code, deviation.at) not in held:
            text = (
                f"the deviation from {deviation.code} at {deviation.at} is a proposal: the owner's file doesn't hold it"
            )
            yield Finding(PROPOSED, "note", Ref("deviation", str(i)), text)


def _left(plan: Sequence[Deviation], used: set[Deviation], today: dt.date) -> Iterator[Finding]:
    """The plan's deviations that have run out, or that match nothing."""
    for i, deviation in enumerate(plan, 1):
        what = f"{deviation.code} at {deviation.at}"
        if _run_out(deviation, today):
            text = f"the deviation from {what} ran out on {deviation.until}"
            yield Finding(RUN_OUT, "warning", Ref("deviation", str(i), "until"), text)
        elif deviation not in used:
            text = f"no finding {what}: the deviation is not needed any more, or never was"
            yield Finding(UNUSED, "warning", Ref("deviation", str(i)), text)


def _rank(level: Level | None) -> int:
    return -1 if level is None else LEVELS.index(level)


def _lower(level: Level) -> Level:
    return LEVELS[max(0, _rank(level) - 1)]


def _with(limits: Limits, level: str, value: float) -> Limits:
    return replace(limits, **{level: value})


def _matches(deviation: Deviation, finding: Finding) -> bool:
    """Whether a deviation's code and path (whole, or its beginning, one thing at least) are the finding's."""
    path = finding.at.path
    whole = "/" in deviation.at and (path == deviation.at or path.startswith(f"{deviation.at}/"))
    return deviation.code == finding.code and whole


def _run_out(deviation: Deviation, today: dt.date) -> bool:
    return deviation.until is not None and dt.date.fromisoformat(deviation.until) < today
