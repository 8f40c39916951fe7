"""When in the year something is so, in words a calendar knows: runs of days, and between which times."""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Iterator

from msgspec import Struct

from oneclimb.trade import sun

ALL_YEAR = 340
"""days of the year or more are called the whole of it"""


class Spell(Struct, frozen=True):
    """A part of the year in which the sun is in the frame, and between which times of the day."""

    first: dt.date
    last: dt.date
    start: dt.time
    end: dt.time
    whole: bool
    """it is the whole year"""

    @property
    def words(self) -> str:
        """``late October to mid February, 15:10 to 16:40``."""
        first, last = sun.part_of_month(self.first), sun.part_of_month(self.last)
        when = "all year" if self.whole else first if first == last else f"{first} to {last}"
        return f"{when}, {self.start:%H:%M} to {self.end:%H:%M}"


def spells(moments: list[dt.datetime], step: int) -> tuple[Spell, ...]:
    """The parts of the year that moments, in order, make up, ``step`` days from one day looked at to the next; mornings
    first where they are apart.
    """
    return tuple(spell for part in _parts(moments) for spell in _runs(part, step))


def _parts(moments: list[dt.datetime]) -> list[list[dt.datetime]]:
    """Mornings and afternoons apart where some day has a gap of an hour and more between them."""
    gap = any(
        one.date() == two.date() and (two - one) > dt.timedelta(hours=1) for one, two in itertools.pairwise(moments)
    )
    if not gap:
        return [moments]
    return [[m for m in moments if m.hour < 12], [m for m in moments if m.hour >= 12]]


def _runs(moments: list[dt.datetime], step: int) -> Iterator[Spell]:
    """Runs of days, round the turn of the year."""
    by_day: dict[dt.date, list[dt.datetime]] = {}
    for moment in moments:
        by_day.setdefault(moment.date(), []).append(moment)
    days = sorted(by_day)
    if not days:
        return
    breaks = [i for i in range(1, len(days)) if (days[i] - days[i - 1]).days > step + 1]
    runs = [days[i:j] for i, j in zip([0, *breaks], [*breaks, len(days)], strict=True)]
    over = (days[0].replace(year=days[-1].year + 1) - days[-1]).days <= step + 1
    if over and len(runs) > 1:
        runs = [*runs[1:-1], runs[-1] + runs[0]]
    for run in runs:
        times = [moment.time() for day in run for moment in by_day[day]]
        yield Spell(run[0], run[-1], min(times), max(times), len(run) * step > ALL_YEAR)
