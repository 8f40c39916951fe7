"""The SARIF 2.1.0 form (OASIS, errata 01): one run for the whole call."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from msgspec import Struct

from oneclimb import __version__
from oneclimb.api import Finding, Ref, Remedy
from oneclimb.engine.round import Crash
from oneclimb.packs import Packs
from oneclimb.plan.edit import text_edits
from oneclimb.plan.faults import Fault
from oneclimb.policy import Accepted
from oneclimb.report import facts, words
from oneclimb.report.descriptors import descriptors
from oneclimb.report.places import physical, region, uri
from oneclimb.report.quote import quote_json, quote_sarif
from oneclimb.review import Review

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
FINGERPRINT = "oneclimb/v1"
Json = dict[str, Any]


class Frame(Struct, frozen=True):
    """A picture of what a camera sees, written to a PNG at ``path``, and its words."""

    path: str
    words: str


Frames = Mapping[tuple[str, str], Sequence[Frame]]
"""by path of a plan and id of a camera in it: the pictures that go with each finding about that camera"""
NO_FRAMES: Frames = {}


def sarif(reviews: Sequence[Review], packs: Packs, frames: Frames = NO_FRAMES) -> str:
    """The log file's text; equal for equal plans, whatever the day or the machine."""
    asked = {
        one.code for review in reviews for one in review.cannot_tell
    }  # of a list left out, its rules were not asked
    rules = descriptors(packs, {rule.info.code for review in reviews for rule in review.rules} | asked)
    index = {rule["id"]: at for at, rule in enumerate(rules)}
    crashes = facts.crashes(reviews)
    run = {
        "tool": {"driver": _driver(rules), "extensions": [_extension(p.name, p.version) for p in packs.packs]},
        "invocations": [_invocation(crashes, index)],
        "artifacts": [
            *({"location": {"uri": one}, "sourceLanguage": "yaml"} for one in _uris(reviews)),
            *(_picture(frame) for shown in frames.values() for frame in shown),
        ],
        "columnKind": "unicodeCodePoints",
        "results": [result for review in reviews for result in _told_apart(_results(review, index, frames))],
    }
    return quote_json({"$schema": SCHEMA, "version": "2.1.0", "runs": [run]})


def _driver(rules: Sequence[Json]) -> Json:
    return {
        "name": "oneclimb",
        "version": __version__,
        "semanticVersion": __version__,
        "rules": rules,
    }


def _extension(name: str, version: str) -> Json:
    return {"name": quote_sarif(name)} | ({"version": quote_sarif(version)} if version else {})


def _invocation(crashes: Sequence[Crash], index: Mapping[str, int]) -> Json:
    told = [_crash(crash, index) for crash in crashes]
    return {"executionSuccessful": not told, "toolExecutionNotifications": told}


def _crash(crash: Crash, index: Mapping[str, int]) -> Json:
    at = f" at {crash.ref.path}" if crash.ref else ""
    told: Json = {"level": "error", "message": _message(f"{crash.code}{at} could not be finished: {crash.text}")}
    if crash.code in index:
        told["associatedRule"] = {"id": crash.code, "index": index[crash.code]}
    return told


def _uris(reviews: Sequence[Review]) -> list[str]:
    return list(dict.fromkeys(uri(review.path) for review in reviews))


def _told_apart(results: Iterable[Json]) -> Iterator[Json]:
    """The results of one plan; where two have the same fingerprint the second is numbered."""
    seen: Counter[str] = Counter()
    for result in results:
        name = result["partialFingerprints"][FINGERPRINT]
        seen[name] += 1
        yield result if seen[name] == 1 else result | _fingerprint(f"{name}:{seen[name]}")


def _results(review: Review, index: Mapping[str, int], frames: Frames) -> Iterator[Json]:
    for fault in review.loaded.faults:
        said = hashlib.sha256(fault.text.encode("utf-8", "replace")).hexdigest()[:16]
        yield _fault(review, fault, index) | _fingerprint(f"{fault.code}:{said}")
    for finding in review.findings:
        yield _finding(review, finding, index) | _attached(review, finding, frames)
    for item in facts.accepted(review):
        shown = _attached(review, item.finding, frames)
        yield _finding(review, item.finding, index) | shown | {"suppressions": [_suppression(review, item)]}
    for question in facts.questions(review):
        for code in question.codes:
            print_ = _fingerprint(f"{code}:{question.at.path}:open")
            yield _result(review, code, "none", question.at, question.asks, index=index) | {"kind": "open"} | print_


def _fault(review: Review, fault: Fault, index: Mapping[str, int]) -> Json:
    text = f"{fault.text} ({fault.hint})" if fault.hint else fault.text
    return {
        "ruleId": fault.code,
        "ruleIndex": index[fault.code],
        "level": "error",
        "message": _message(text),
        "locations": [physical(review.path, fault.span)],
    }


def _finding(review: Review, item: Finding, index: Mapping[str, int]) -> Json:
    result = _result(review, item.code, item.level, item.at, _told(review, item), index=index) | _fingerprint(item.path)
    if item.related:
        result["relatedLocations"] = [
            {"id": number} | physical(review.path, facts.span(review, one.at)) | {"message": _message(one.text)}
            for number, one in enumerate(item.related, 1)
        ]
    if fixes := [fix for one in item.remedies if one.edits for fix in _fixes(review, one)]:
        result["fixes"] = fixes
    if item.steps:
        at = physical(review.path, facts.span(review, item.at))
        steps = [{"location": at | {"message": _message(step)}} for step in item.steps]
        result["codeFlows"] = [{"message": _message("How it was computed."), "threadFlows": [{"locations": steps}]}]
    return result


def _told(review: Review, item: Finding) -> str:
    """The finding as sentences: its words, its figure, what to do, what to take care of."""
    tape = facts.tape(review)
    parts = [item.text]
    if item.figure:
        parts.append(words.figure(item.figure, tape))
    if item.softened:
        parts.append(words.SOFTENED.capitalize())
    parts += [f"Remedy {number}: {words.remedy(one, item.figure, tape)}" for number, one in enumerate(item.remedies, 1)]
    if care := words.care(item):
        parts.append(f"Care: {care}")
    return " ".join(part if part.endswith((".", "!", "?")) else f"{part}." for part in parts)


def _result(review: Review, code: str, level: str, at: Ref, text: str, *, index: Mapping[str, int]) -> Json:
    place = physical(review.path, facts.span(review, at))
    return {
        "ruleId": code,
        "ruleIndex": index[code],
        "level": level,
        "message": _message(text),
        "locations": [place | {"logicalLocations": [{"fullyQualifiedName": quote_sarif(at.path)}]}],
    }


def _fixes(review: Review, remedy: Remedy) -> Iterator[Json]:
    """The remedy as a fix, where it can be made in the plan's text."""
    try:
        edits = text_edits(review.loaded, remedy.edits)
    except ValueError:
        return
    replacements = [{"deletedRegion": region(edit.span), "insertedContent": {"text": edit.text}} for edit in edits]
    change = {"artifactLocation": {"uri": uri(review.path)}, "replacements": replacements}
    yield {"description": _message(remedy.text), "artifactChanges": [change]}


def _attached(review: Review, item: Finding, frames: Frames) -> Json:
    """The pictures of the camera that a finding is about (SARIF 2.1.0, 3.21)."""
    shown = frames.get((review.path, item.at.id), ()) if item.at.kind == "camera" else ()
    attachments = [
        {"description": _message(frame.words), "artifactLocation": {"uri": uri(frame.path)}} for frame in shown
    ]
    return {"attachments": attachments} if attachments else {}


def _picture(frame: Frame) -> Json:
    """A picture among the files of the run (SARIF 2.1.0, 3.24.6: one that is attached)."""
    return {"location": {"uri": uri(frame.path)}, "mimeType": "image/png", "roles": ["attachment"]}


def _suppression(review: Review, item: Accepted) -> Json:
    plan = review.loaded.plan
    own = plan is not None and item.deviation in plan.deviations
    justification = quote_sarif(words.deviation(item.deviation))
    return {"kind": "inSource" if own else "external", "status": "accepted", "justification": justification}


def _fingerprint(text: str) -> Json:
    return {"partialFingerprints": {FINGERPRINT: quote_sarif(text)}}


def _message(text: str) -> Json:
    return {"text": quote_sarif(text)}
