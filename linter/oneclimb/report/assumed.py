"""The defaults in use, for reading: those that could matter, a line a kind of thing; the rest counted."""

from __future__ import annotations

from oneclimb.api import as_written
from oneclimb.plan.model import Plan
from oneclimb.report.facts import some
from oneclimb.report.neutral import general, is_neutral
from oneclimb.review import Review

Ids = dict[str, None]
"""each once, in the plan's order"""
Groups = dict[str, dict[str, dict[str, Ids]]]
"""kind, field, what is taken, whose"""


def assumed(review: Review, *, whole: bool) -> tuple[list[tuple[str, list[str]]], int]:
    """Defaults by kind: ``("camera", ["front: clean", "view: 100 deg across (gate-cam)"])``; how many are left out.

    The neutral ones are left out unless the ``whole`` is asked for. Ids stand behind a default
    only where it is not in use for every thing of its kind.
    """
    plan = review.loaded.plan
    if plan is None:
        return [], 0
    groups: Groups = {}
    left_out = set()
    for item in plan.assumed:
        kind, field = general(item)
        if is_neutral(item) and not whole:
            left_out.add((kind, field, item.taken))
            continue
        ids = groups.setdefault(kind, {}).setdefault(field, {}).setdefault(item.taken, {})
        ids |= dict.fromkeys(item.ids)
    many = _many(plan)
    lines = [
        (kind, [_line(field, takings, many.get(kind)) for field, takings in fields.items()])
        for kind, fields in groups.items()
    ]
    return lines, len(left_out)


def _line(field: str, takings: dict[str, Ids], many: int | None) -> str:
    """``deep: 0.6 m (hedge), 50 mm (fence)``; ``no eave`` says its field itself."""
    said = ", ".join(taken if len(ids) == many else f"{taken} ({some([*ids])})" for taken, ids in takings.items())
    name = field.replace(".*", "").replace(".", " ")
    return said if set(takings) == {f"no {name}"} else f"{name}: {said}"


def _many(plan: Plan) -> dict[str, int]:
    """How many things of each kind there are."""
    return {
        "site": 1,
        "camera": len(plan.cameras),
        "area": len(plan.areas),
        "object": len({as_written(one.id) for one in plan.objects}),
        "lamp": len(plan.lamps),
        "building": len(plan.buildings),
        "land": len(plan.land),
        "cable": len(plan.cables),
        "connector": sum(len(cable.connectors) for cable in plan.cables),
    }
