"""Policy: which limits are in force, where each comes from, and what has been accepted.

Three sources in order: the pack's defaults, the plan's ``settings``, the owner's file. A
later one outranks an earlier one, so what the owner has set a plan cannot loosen; and a
plan cannot silence a safety rule at all.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, Literal

from oneclimb.api import LEVELS, Finding, Level, Limits, Reading, Ref, Rule
from oneclimb.plan.model import Deviation

Source = Literal["default", "plan", "owner"]
RUN_OUT, UNUSED, OVERRULED, SILENCED = "PLAN-90", "PLAN-91", "PLAN-92", "PLAN-93"


@dataclass(frozen=True, slots=True)
class InForce:
    """A rule's settings in force, its fixed level if one is set, and each value's source."""

    settings: Any
    level: Level | Literal["none"] | None
    origin: Mapping[str, Source]


@dataclass(frozen=True, slots=True)
class Accepted:
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
        origin: dict[str, Source] = {f.name: "default" for f in fields(settings) if f.name != "limits"}
        origin |= dict.fromkeys(LEVELS, "default")
        sources: tuple[tuple[Source, Mapping[str, Any]], ...] = (
            ("plan", plan.get(code, {})),
            ("owner", owner.get(code, {})),
        )
        for source, given in sources:
            for name, value in given.items():
                key = name.replace("-", "_")
                if source == "owner" and origin.get(key) == "plan":
                    self._note(
                        code, OVERRULED, name, f"the owner's file sets {code} {name}; the plan's own value is not used"
                    )
                if source == "plan" and rule.info.safety:
                    self._note(
                        code,
                        SILENCED,
                        name,
                        f"{code} is a safety rule: a plan cannot change it, only the owner's file can",
                    )
                    continue
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
        self, findings: Iterable[Finding], deviations: Sequence[Deviation], today: dt.date
    ) -> tuple[list[Finding], list[Accepted]]:
        """Split findings into those that stand and those accepted; deviations that have run
        out, or match nothing, become findings of their own.
        """
        stand: list[Finding] = []
        accepted: list[Accepted] = []
        used: set[int] = set()
        for finding in findings:
            i = next((i for i, d in enumerate(deviations) if _matches(d, finding)), None)
            if i is None:
                stand.append(finding)
                continue
            used.add(i)
            if _run_out(deviations[i], today):
                stand.append(finding)
            else:
                accepted.append(Accepted(finding, deviations[i], finding.code in self.safety))
        for i, deviation in enumerate(deviations):
            if _run_out(deviation, today):
                text = f"the deviation from {deviation.code} at {deviation.at} ran out on {deviation.until}"
                stand.append(Finding(RUN_OUT, "warning", Ref("deviation", str(i), "until"), text))
            elif i not in used:
                text = (
                    f"no finding {deviation.code} at {deviation.at}: the deviation is not needed any more, or never was"
                )
                stand.append(Finding(UNUSED, "warning", Ref("deviation", str(i)), text))
        return stand, sorted(accepted, key=lambda a: (not a.safety, a.finding.path))


def _rank(level: Level | None) -> int:
    return -1 if level is None else LEVELS.index(level)


def _lower(level: Level) -> Level:
    return LEVELS[max(0, _rank(level) - 1)]


def _with(limits: Limits, level: str, value: float) -> Limits:
    return replace(limits, **{level: value})


def _matches(deviation: Deviation, finding: Finding) -> bool:
    """Whether a deviation's code and path (whole, or its beginning) are the finding's."""
    path = finding.at.path
    return deviation.code == finding.code and (path == deviation.at or path.startswith(f"{deviation.at}/"))


def _run_out(deviation: Deviation, today: dt.date) -> bool:
    return deviation.until is not None and dt.date.fromisoformat(deviation.until) < today
