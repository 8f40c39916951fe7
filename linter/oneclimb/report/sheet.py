"""Text for people: by thing, worst first; labels in a gutter, sentences beside them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from oneclimb.api import Finding, Ref
from oneclimb.report import facts, words
from oneclimb.report.assumed import assumed
from oneclimb.report.look import Look, wrap
from oneclimb.report.quote import quote
from oneclimb.review import Review


def sheet(reviews: Sequence[Review], look: Look) -> Iterator[str]:
    """Every line of the report."""
    for review in reviews:
        yield from _plan(review, look)
        yield ""
    broken = facts.crash_lines(reviews)
    for line in broken:
        yield from look.row("broken", quote(line), "error")
    if broken:
        yield ""
    if len(reviews) > 1:
        found = [words.count(n, level) for level, n in facts.counts(reviews).items() if n]
        yield from look.row("all plans", f"{words.listed(found) or 'nothing found'} in {len(reviews)} plans", "head")
    yield from _foot(reviews, look)


def _plan(review: Review, look: Look) -> Iterator[str]:
    plan = review.loaded.plan
    name = f"  {quote(plan.site.name)}" if plan and plan.site.name else ""
    yield look.paint(quote(review.path), "head") + name
    for fault in review.loaded.faults:
        yield from look.row("error", quote(fault.text), "error")
        yield from look.row("", f"{_line(fault.span.line)}, {fault.code}", "")
        if fault.hint:
            yield from look.row("try", quote(fault.hint))
    if plan:
        yield from _deviations(review, look, safety=True)
        for ref, findings in facts.grouped(review).items():
            yield from _group(review, look, ref, findings)
        yield from _deviations(review, look, safety=False)
        yield from _cannot_tell(review, look)
        yield from _assumed(review, look)
    if review.loaded.faults or review.findings or review.cannot_tell or review.accepted:
        yield ""
    worst = next((level for level, n in facts.counts([review]).items() if n), "good")
    yield from look.row("in all", words.summary(review), worst)
    if later := words.to_show(review):
        yield from look.row("later", later)


def _group(review: Review, look: Look, ref: Ref, findings: Sequence[facts.Alike]) -> Iterator[str]:
    yield ""
    yield f"{look.paint(words.thing(ref.kind, ref.id), 'head')}, {_line(facts.span(review, ref).line)}"
    told: set[str] = set()
    for one in findings:
        care = words.care(one.finding)
        yield from _finding(review, look, one.finding, "" if care in told else care)
        if one.others:
            yield from look.row("same", f"the same of {words.listed([quote(name) for name in one.others])}")
        told.add(care)


def _finding(review: Review, look: Look, item: Finding, care: str) -> Iterator[str]:
    tape = facts.tape(review)
    yield ""
    yield from look.row(item.level, quote(item.text), item.level)
    where = f"{item.code}, {_line(facts.span(review, item.at).line)}"
    yield from look.row("figure" if item.figure else "", words.figure(item.figure, tape) if item.figure else where)
    if item.figure:
        yield from look.row("rule", where)
    if item.softened:
        yield from look.row("doubt", words.SOFTENED)
    for related in item.related:
        place = f"{words.thing(related.at.kind, related.at.id)}, {_line(facts.span(review, related.at).line)}"
        yield from look.row("see", f"{place}: {quote(related.text.removeprefix(f'{related.at.id}, '))}")
    for number, remedy in enumerate(item.remedies, 1):
        yield from look.row(f"remedy {number}", words.remedy(remedy, item.figure, tape), "good")
    if care:
        yield from look.row("care", care, "warning")
    if look.steps:
        for number, step in enumerate(item.steps, 1):
            yield from look.row(f"step {number}", quote(step))


def _deviations(review: Review, look: Look, *, safety: bool) -> Iterator[str]:
    chosen = [item for item in facts.accepted(review) if item.safety is safety]
    if chosen:
        yield ""
        yield look.paint("Accepted from a safety rule" if safety else "Accepted", "head")
    for deviation, items in facts.by_deviation(chosen).items():
        for finding in items:
            at = finding.at
            where = f"{finding.code} on {words.thing(at.kind, at.id)}, {_line(facts.span(review, at).line)}"
            yield from look.row("accepted", f"{where}: {quote(finding.text)}", "warning" if safety else "")
        yield from look.row("because", words.deviation(deviation))


def _cannot_tell(review: Review, look: Look) -> Iterator[str]:
    if not review.cannot_tell:
        return
    yield ""
    yield look.paint(f"Cannot tell: {words.count(len(review.cannot_tell), 'check')} could not be made", "head")
    first = facts.leading(review)
    questions = facts.questions(review)
    for number, (asks, _, many) in enumerate(first, 1):
        places = [f"{q.at.id} line {facts.span(review, q.at).line}" for q in questions if q.asks == asks]
        settles = f"settles {words.count(many, 'check')}"
        yield from look.row(f"answer {number}", quote(f"{asks} ({facts.some(places)}; {settles})"))
    done = {asks for asks, _, _ in first}
    home = facts.homes(review)
    rest: dict[Ref, list[str]] = {}
    for question in questions:
        if question.asks not in done:
            rest.setdefault(home.get(question.at.thing, question.at.thing), []).append(quote(question.asks))
    for ref, wanted in rest.items():
        where = f"{words.thing(ref.kind, ref.id)}, {_line(facts.span(review, ref).line)}"
        yield from look.row("also" if first else "missing", f"{where}: {' '.join(dict.fromkeys(wanted))}")


def _assumed(review: Review, look: Look) -> Iterator[str]:
    yield ""
    yield look.paint("Assumed where the plan is silent", "head")
    taken, left_out = assumed(review, whole=look.steps)
    for kind, defaults in taken:
        yield from look.row(kind, quote("; ".join(defaults)), "faint")
    yield from look.row("weather", words.AIR, "faint")
    if left_out:
        yield from look.row("", words.neutral(left_out))


def _foot(reviews: Sequence[Review], look: Look) -> Iterator[str]:
    told = [words.law(review) for review in reviews if review.loaded.plan]
    for text in [*dict.fromkeys(told), *([words.CAUTION, words.UNPROVED] if told else [])]:
        yield from (look.paint(line, "faint") for line in wrap(text, look.width))


def _line(number: int) -> str:
    return f"line {number}"
