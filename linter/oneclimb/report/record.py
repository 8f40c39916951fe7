"""The json form: the whole review as data, in the shape of ``schemas/report-1.schema.json``.

Figures are SI and unrounded; texts are as the rules gave them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from msgspec.structs import asdict

from oneclimb import __version__
from oneclimb.api import LEVELS, Figure, Finding, Ref, Related, Remedy
from oneclimb.engine.round import Crash
from oneclimb.packs import Packs
from oneclimb.plan.faults import Fault, Span
from oneclimb.plan.shown import asked
from oneclimb.policy import Accepted
from oneclimb.report import facts
from oneclimb.report.quote import quote_json
from oneclimb.review import Review

VERSION = 1
Json = dict[str, Any]


def record(reviews: Sequence[Review], packs: Packs) -> str:
    """The report's text."""
    return quote_json(
        {
            "report": VERSION,
            "tool": {
                "name": "oneclimb",
                "version": __version__,
                "packs": [{"name": pack.name, "version": pack.version} for pack in packs.packs],
            },
            "counts": {level: facts.counts(reviews)[level] for level in reversed(LEVELS)},
            "plans": [_plan(review) for review in reviews],
            "crashes": [_crash(crash) for crash in facts.crashes(reviews)],
        }
    )


def _plan(review: Review) -> Json:
    plan = review.loaded.plan
    return {
        "plan": review.path,
        "usable": plan is not None,
        "units": plan.units if plan else None,
        "country": facts.country(review) or None,
        "law-checked": False,
        "instruments": facts.instruments(review),
        "counts": facts.counts([review]),
        "faults": [_fault(fault) for fault in review.loaded.faults],
        "findings": [_finding(review, finding) for finding in review.findings],
        "accepted": [_accepted(review, item) for item in facts.accepted(review)],
        "cannot-tell": [
            {"codes": list(q.codes), "at": _at(review, q.at), "asks": q.asks} for q in facts.questions(review)
        ],
        "to-show": asdict(asked(plan)) if plan else None,
        "unlocks": [{"asks": asks, "at": _at(review, ref), "checks": n} for asks, ref, n in review.unlocks],
        "assumed": [
            {"kind": one.kind, "field": one.field, "taken": one.taken, "ids": list(one.ids)}
            for one in (plan.assumed if plan else ())
        ],
    }


def _finding(review: Review, item: Finding) -> Json:
    return {
        "code": item.code,
        "level": item.level,
        "at": _at(review, item.at),
        "text": item.text,
        "figure": _figure(item.figure),
        "softened": item.softened,
        "related": _related(review, item.related),
        "remedies": [_remedy(one) for one in item.remedies],
        "steps": list(item.steps),
        "caution": item.caution,
        "fingerprint": item.path,
    }


def _accepted(review: Review, item: Accepted) -> Json:
    terms = item.deviation
    return {
        "finding": _finding(review, item.finding),
        "reason": terms.reason,
        "agreed": terms.agreed,
        "until": terms.until,
        "safety": item.safety,
    }


def _figure(item: Figure | None) -> Json | None:
    if item is None:
        return None
    return {
        "name": item.name,
        "value": item.value,
        "low": item.low,
        "high": item.high,
        "unit": item.unit,
        "good": item.good,
    }


def _remedy(item: Remedy) -> Json:
    return {
        "text": item.text,
        "tried": bool(item.edits),
        "partial": item.partial,
        "ladder": item.ladder,
        "after": _figure(item.after),
        "edits": [{"how": one.how, "at": one.at.path, "to": one.by} for one in item.edits],
    }


def _related(review: Review, items: Iterable[Related]) -> list[Json]:
    return [{"at": _at(review, one.at), "text": one.text} for one in items]


def _fault(fault: Fault) -> Json:
    return {"code": fault.code, "text": fault.text, "hint": fault.hint, "span": _span(fault.span)}


def _crash(crash: Crash) -> Json:
    return {"code": crash.code, "at": crash.ref.path if crash.ref else None, "text": crash.text}


def _at(review: Review, ref: Ref) -> Json:
    return {"path": ref.path, "span": _span(facts.span(review, ref))}


def _span(span: Span) -> Json:
    return {"line": span.line, "column": span.column, "end-line": span.end_line, "end-column": span.end_column}
