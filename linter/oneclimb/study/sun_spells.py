"""When in the year something is so, in words a calendar knows: runs of days, and between which times."""

from __future__ import annotations

import bisect
import datetime as dt
import itertools
from collections.abc import Iterator

from msgspec import Struct

from oneclimb.trade import sun

ALL_YEAR = 340
"""days of the year or more are called the whole of it"""
APART = dt.timedelta(hours=1)
"""times of the day with nothing between them for longer are told apart"""
PAUSE = 10
"""days or fewer without it do not end a spell: the words tell thirds of a month"""


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


def spells(moments: list[dt.datetime], step: int, minutes: int) -> tuple[Spell, ...]:
    """The parts of the year that moments, in order, make up, ``step`` days from one day looked at to the next and
    ``minutes`` from one moment to the next; those of the morning first where they are apart.
    """
    each = dt.timedelta(minutes=minutes)
    return tuple(spell for part in _parts(moments) for spell in _runs(part, step, each))


def _parts(moments: list[dt.datetime]) -> list[list[dt.datetime]]:
    """Moments by the time of the day, apart where on no day there is one for an hour and more."""
    if not moments:
        return []
    times = sorted({moment.time() for moment in moments})
    breaks = [two for one, two in itertools.pairwise(times) if _since_midnight(two) - _since_midnight(one) > APART]
    found: list[list[dt.datetime]] = [[] for _ in range(len(breaks) + 1)]
    for moment in moments:
        found[bisect.bisect_right(breaks, moment.time())].append(moment)
    return found


def _since_midnight(time: dt.time) -> dt.timedelta:
    """A time of the day as what has passed since midnight."""
    return dt.timedelta(hours=time.hour, minutes=time.minute, seconds=time.second)


def _runs(moments: list[dt.datetime], step: int, each: dt.timedelta) -> Iterator[Spell]:
    """Runs of days, round the turn of the year."""
    by_day: dict[dt.date, list[dt.datetime]] = {}
    for moment in moments:
        by_day.setdefault(moment.date(), []).append(moment)
    days = sorted(by_day)
    if not days:
        return
    breaks = [i for i in range(1, len(days)) if (days[i] - days[i - 1]).days > step + PAUSE]
    runs = [days[i:j] for i, j in zip([0, *breaks], [*breaks, len(days)], strict=True)]
    over = (days[0].replace(year=days[-1].year + 1) - days[-1]).days <= step + PAUSE
    if over and len(runs) > 1:
        runs = [*runs[1:-1], runs[-1] + runs[0]]
    for run in runs:
        times = [moment for day in run for moment in by_day[day]]
        start, last = min(times, key=dt.datetime.time), max(times, key=dt.datetime.time)
        yield Spell(run[0], run[-1], start.time(), (last + each).time(), len(run) * step > ALL_YEAR)
