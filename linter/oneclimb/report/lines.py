"""Text for a pipe: one line a finding, as the GNU Coding Standards form error messages.

``file:line:column: level: …``; what is not a finding starts ``file:`` or ``oneclimb:``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from oneclimb.api import Finding, Ref
from oneclimb.report import facts, words
from oneclimb.report.assumed import assumed
from oneclimb.report.look import Look
from oneclimb.report.quote import quote
from oneclimb.review import Review


def lines(reviews: Sequence[Review], look: Look) -> Iterator[str]:
    """Every line of the report."""
    for review in reviews:
        yield from _plan(review, look)
    for broken in facts.crash_lines(reviews):
        yield f"oneclimb: internal fault: {quote(broken)}"
    for text in dict.fromkeys(words.law(review) for review in reviews if review.loaded.plan):
        yield f"oneclimb: {text}"
    if any(review.loaded.plan for review in reviews):
        yield f"oneclimb: {words.CAUTION} {words.UNPROVED}"


def _plan(review: Review, look: Look) -> Iterator[str]:
    path = quote(review.path)
    for fault in review.loaded.faults:
        hint = f" ({quote(fault.hint)})" if fault.hint else ""
        yield f"{path}:{fault.span.line}:{fault.span.column}: error: {fault.code} {quote(fault.text)}{hint}"
    for one in facts.alike(review):
        finding = one.finding
        same = f"; the same of {words.listed([quote(name) for name in one.others])}" if one.others else ""
        yield f"{_at(review, finding.at)}: {finding.level}: {_finding(review, finding)}{same}"
        if look.steps:
            yield from (f"{_at(review, finding.at)}: step {n}: {quote(s)}" for n, s in enumerate(finding.steps, 1))
    for question in facts.questions(review):
        codes = ", ".join(question.codes)
        yield f"{_at(review, question.at)}: cannot tell: {codes} {_named(question.at, question.asks)}"
    for item in facts.accepted(review):
        safety = "safety rule, " if item.safety else ""
        yield (
            f"{_at(review, item.finding.at)}: accepted: {safety}{item.finding.code} "
            f"{_named(item.finding.at, item.finding.text)}; {words.deviation(item.deviation)}"
        )
    yield f"{path}: {words.summary(review)}"
    if later := words.to_show(review):
        yield f"{path}: {later}"
    taken, left_out = assumed(review, whole=look.steps)
    for kind, defaults in taken:
        yield f"{path}: assumed: {kind}: {quote('; '.join(defaults))}"
    if left_out:
        yield f"{path}: assumed: {words.neutral(left_out)}"
    for asks, ref, number in facts.leading(review):
        yield f"{path}: would settle {words.count(number, 'check')}: {_named(ref, asks)}"


def _finding(review: Review, item: Finding) -> str:
    tape = facts.tape(review)
    text = f"{item.code} {_named(item.at, item.text).rstrip('.')}"
    if item.figure:
        text += f" [{words.figure(item.figure, tape)}]"
    if item.softened:
        text += " [its doubt reaches across a limit]"
    if item.remedies:
        text += f". {words.remedy(words.best(item.remedies), item.figure, tape)}"
    return text


def _named(ref: Ref, text: str) -> str:
    """The words with the thing's name before them, unless they name it themselves."""
    shown = quote(text)
    return shown if ref.id in text else f"{words.thing(ref.kind, ref.id)}: {shown}"


def _at(review: Review, ref: Ref) -> str:
    span = facts.span(review, ref)
    return f"{quote(review.path)}:{span.line}:{span.column}"
