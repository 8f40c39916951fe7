"""What a rule pack sees: the words in which rules, studies and findings are written.

This module is a leaf: it imports nothing else of oneclimb, and nothing heavy, so that
loading a pack costs next to nothing. A pack's module reads

    from oneclimb.api import Figure, Info, Limits, Reading, Rule, Told, pack_hook

and registers itself under the entry-point group ``oneclimb``.

All values are SI (metres, seconds, watts …) and degrees for angles, unless a field says
otherwise; the report turns them into the plan's own units.
"""

from __future__ import annotations

import datetime as dt
import math
from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import Any, ClassVar, Generic, Literal, Protocol, TypeVar

import pluggy
from msgspec import Struct, StructMeta, field
from msgspec.structs import force_setattr, replace

API_VERSION = 1
ENTRY_POINTS = "oneclimb"

Level = Literal["note", "warning", "error"]
LEVELS: tuple[Level, ...] = ("note", "warning", "error")
How = Literal["dark", "absent", "replace"]

S_contra = TypeVar("S_contra", contravariant=True)
R_co = TypeVar("R_co", covariant=True)
R = TypeVar("R")
S = TypeVar("S")

pack_hook = pluggy.HookimplMarker(ENTRY_POINTS)
pack_spec = pluggy.HookspecMarker(ENTRY_POINTS)


class PackError(Exception):
    """A pack, or a rule in it, that is not fit to be loaded; the message says why."""


# ------------------------------------------------------------------- things and figures


STRETCH = "~"
"""between the id of an object that is drawn in stretches and a stretch's number; no written id has it"""


def as_written(name: str) -> str:
    """The id as the plan has it: a hedge drawn in stretches is one thing, its second stretch ``hedge~2`` only to us."""
    return name.partition(STRETCH)[0]


class Ref(Struct, frozen=True, order=True):
    """A thing of the plan, or one field of it: ``Ref("camera", "drive", "mount.along")``.

    ``kind`` is the singular noun (camera, lamp, object, area, cable, connector …),
    ``field`` a dotted path of the plan's own keys below the thing. The site itself is
    ``Ref("site", "site")``.
    """

    kind: str
    id: str
    field: str = ""

    @property
    def path(self) -> str:
        """``camera/drive/mount/along``: stable under re-ordering; deviations match on it."""
        tail = f"/{self.field.replace('.', '/')}" if self.field else ""
        return f"{self.kind}/{self.id}{tail}"

    @property
    def thing(self) -> Ref:
        """The thing itself, without the field."""
        return Ref(self.kind, self.id) if self.field else self

    def at(self, field: str) -> Ref:
        """Another field of the same thing."""
        return Ref(self.kind, self.id, field)


class Figure(Struct, frozen=True):
    """One number with its doubt, SI, always finite.

    ``good`` says which way is better. ``low`` and ``high`` are the ends of the doubt and
    equal ``value`` where there is none. ``unit`` is ``m``, ``px/m``, ``deg``, ``""`` for a
    ratio shown as per cent, or any unit the rule names.
    """

    name: str
    value: float
    unit: str
    low: float = math.nan
    high: float = math.nan
    good: Literal["low", "high"] = "low"

    def __post_init__(self) -> None:
        if math.isnan(self.low):
            force_setattr(self, "low", self.value)
        if math.isnan(self.high):
            force_setattr(self, "high", self.value)
        if not (math.isfinite(self.value) and math.isfinite(self.low) and math.isfinite(self.high)):
            raise ValueError(f"figure {self.name!r} is not finite: {self.value}, {self.low}..{self.high}")
        if not self.low <= self.value <= self.high:
            raise ValueError(f"figure {self.name!r}: {self.value} lies outside {self.low}..{self.high}")

    @property
    def kindest(self) -> float:
        """The end of the doubt that speaks for the plan."""
        return self.low if self.good == "low" else self.high


class Change(Struct, frozen=True):
    """How another world differs from the plan as written.

    ``dark``    the thing returns and gives no light, but still hides what is behind it;
    ``absent``  the thing is not there;
    ``replace`` the field ``at`` reads ``by`` (a value as one would write it in the plan;
                lengths in metres with their unit, e.g. ``"0.35 m"``). ``by=None`` takes
                the key out.
    """

    how: How
    at: Ref
    by: object = None

    def __hash__(self) -> int:
        return hash((self.how, self.at))  # what it reads then may be a mapping


class Remedy(Struct, frozen=True):
    """Something to do. With ``edits`` it has been tried in the model: applied as printed,
    the finding goes (or, when ``partial``, gets less), nothing new appears and no other warning gets worse.
    ``after`` is the figure then. Without edits it is advice, never presented as tried.
    """

    text: str
    edits: tuple[Change, ...] = ()
    after: Figure | None = None
    partial: bool = False
    ladder: bool = False


class Related(Struct, frozen=True):
    """Another place that matters: the pipe, the lamp, the other camera."""

    at: Ref
    text: str


class Reading(Struct, frozen=True):
    """What a rule measured on one subject, finding or not.

    ``facts`` are the values the rule's words need later. ``ends`` finds the low and high
    end of the figure's doubt where that is dear: it is asked only past a limit. A rule may
    give several readings of one subject (one a lamp, one a connector); ``key`` tells them
    apart and is part of the fingerprint. ``welcome`` is good news (a gain worth a note): it
    never counts as something new that a remedy brings. ``counted`` are the things it is told of where each is one too
    many: a remedy that adds one makes it worse, whatever its figure.
    """

    figure: Figure
    at: Ref
    key: str = ""
    related: tuple[Related, ...] = ()
    facts: Mapping[str, Any] = field(default_factory=lambda: MappingProxyType({}))
    ends: Callable[[], tuple[float, float]] | None = None
    welcome: bool = False
    counted: frozenset[Ref] = frozenset()

    def settled(self) -> Reading:
        """The same with the ends of its doubt found."""
        if self.ends is None:
            return self
        low, high = self.ends()
        return replace(self, figure=replace(self.figure, low=low, high=high), ends=None)


class Told(Struct, frozen=True):
    """The words for a reading past its limit."""

    text: str
    remedies: tuple[Remedy, ...] = ()
    caution: str = ""
    steps: tuple[str, ...] = ()
    """the calculation, a line a step"""
    bare: bool = False
    """the words say it all: the figure behind them is only how bad it is, and isn't shown"""


class Finding(Struct, frozen=True):
    """What the report shows: where, how bad, how much, what to do."""

    code: str
    level: Level
    at: Ref
    text: str
    figure: Figure | None = None
    key: str = ""
    related: tuple[Related, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    steps: tuple[str, ...] = ()
    caution: str = ""
    softened: bool = False
    """A limit lies inside the figure's doubt, so the level was lowered by one, to a note at least."""
    welcome: bool = False
    """good news: never counts as something new that a remedy brings"""

    @property
    def path(self) -> str:
        """Code, place and key: what stays the same when lines move."""
        return finding_path(self.code, self.at, self.key)


def finding_path(code: str, at: Ref, key: str) -> str:
    """What tells a finding from every other of its plan, whatever its line."""
    return f"{code}:{at.thing.path}" + (f":{key}" if key else "")


class Unknown(Exception):
    """The plan does not say. ``asks`` is the question, in the installer's words."""

    def __init__(self, ref: Ref, asks: str) -> None:
        super().__init__(f"{ref.path}: {asks}")
        self.ref = ref
        self.asks = asks


# ------------------------------------------------------------------------------- rules


class Limits(Struct, frozen=True):
    """Where a figure becomes a finding: each level's limit, ``None`` for never.

    For a figure that is good low, a level is reached *above* its limit; for one that is
    good high, *below* it.
    """

    note: float | None = None
    warning: float | None = None
    error: float | None = None

    def level(self, value: float, good: Literal["low", "high"]) -> Level | None:
        """The worst level whose limit ``value`` passes."""
        worst: Level | None = None
        for name in LEVELS:
            limit: float | None = getattr(self, name)
            if limit is not None and (value > limit if good == "low" else value < limit):
                worst = name
        return worst


class Setting(Struct, frozen=True):
    """What a setting is: its default, in words, its unit, an example, its bounds."""

    default: Any
    about: str
    unit: str
    example: Any
    minimum: float | None
    maximum: float | None


def setting(
    default: Any,
    about: str,
    *,
    unit: str = "",
    example: Any = None,
    minimum: float | None = None,
    maximum: float | None = None,
) -> Any:
    """A field of a rule's settings: its default, what it is, its unit; becomes the schema."""
    return Setting(default, about, unit, default if example is None else example, minimum, maximum)


class Described(StructMeta):
    """Makes settings of ``setting(...)`` fields: the default goes to the value, the rest to ``described``."""

    def __new__(mcs, name: str, bases: tuple[type, ...], namespace: dict[str, Any], **options: Any) -> Any:
        told = {key: value for key, value in namespace.items() if isinstance(value, Setting)}
        inherited = [getattr(base, "described", {}) for base in bases]
        defaults = {key: value.default for key, value in told.items()}
        described = MappingProxyType({key: about for known in (*inherited, told) for key, about in known.items()})
        return super().__new__(mcs, name, bases, {**namespace, **defaults, "described": described}, **options)


class Settings(Struct, frozen=True, metaclass=Described):
    """The base of a rule's settings; a rule adds fields with ``setting``.

    ``limits`` is common to all. A plan writes ``settings: {GLARE-01: {warning: 30 %}}``.
    """

    limits: Limits = Limits()
    described: ClassVar[Mapping[str, Setting]]
    """what a rule's own settings are, by field"""


class Info(Struct, frozen=True):
    """A rule's metadata. ``safety`` rules cannot be silenced by the plan itself."""

    code: str
    title: str
    sources: tuple[str, ...]
    page: str
    """file name of its page, beside the rule's module"""
    preview: bool = False
    safety: bool = False
    instrument: str = ""
    """of a rule of one country's law: the instrument it was written from, and as of when; reports name it as checked"""
    countries: tuple[str, ...] = ()
    """where that holds: the country's names in small letters, words only (``gb eng``)"""

    def holds(self, country: str) -> bool:
        """Whether the instrument is the law of a country, however its name is written."""
        words = "".join(letter if letter.isalnum() else " " for letter in country.casefold()).split()
        return " ".join(words) in self.countries


class Say(Protocol):
    """Figures in the words of the plan's own units, rounded as a tape reads."""

    def tape(self, metres: float) -> str:
        """A length to the nearest 5 cm, or inch."""

    def fine(self, metres: float) -> str:
        """A length too small to round: ``80 mm``, ``2.7 m``, ``3.1 in``."""

    def span(self, low: float, high: float) -> str:
        """A range of lengths, of a real stretch: ``4 to 7 m``."""

    def reach(self, low: float, high: float) -> str:
        """The doubt of one distance, how far something serves: ``5 m, at best 16 m``."""

    def share(self, ratio: float) -> str:
        """A ratio as a whole per cent."""

    def figure(self, figure: Figure) -> str:
        """A figure with its unit and, where it has one, its doubt."""


class Query(Protocol):
    """One world, asked by rules and studies. Whatever is dear is computed once."""

    say: Say

    @property
    def plan(self) -> Any:
        """The plan's frozen model (``oneclimb.plan.model.Plan``)."""

    @property
    def today(self) -> dt.date:
        """The date of the review: what a stopgap's or a deviation's date is held against."""

    def all(self, kind: str) -> Sequence[Any]:
        """Every thing of a kind, in the plan's order: ``camera``, ``lamp``, or a pack's own."""

    def get(self, ref: Ref) -> Any:
        """The thing a reference names."""

    def need(self, subject: Any, field: str) -> Any:
        """A field's value; ``Unknown`` is raised where the plan does not say."""

    def known(self, ref: Ref) -> Literal["written", "default", "unknown"]:
        """Where a field's value comes from."""

    def of(self, study: Study[S, R], subject: S) -> R:
        """A study's result for a subject, in this world."""

    def vary(self, *changes: Change) -> Query:
        """The same plan in another world."""

    @property
    def changes(self) -> tuple[Change, ...]:
        """What makes this world differ from the plan as written."""


class Trial(Query, Protocol):
    """The query a rule's ``tell`` gets: it can try remedies on the reading at hand."""

    def least(
        self,
        text: Callable[[int], str],
        steps: Sequence[Sequence[Change]],
        *,
        keeps: Callable[[Query], bool] | None = None,
        ladder: bool = False,
    ) -> Remedy | None:
        """A step of ``steps`` (from least to most) that clears the reading and brings no new finding.

        A search by halves: the step before it has been seen not to serve, but an island of
        serving steps below may be missed. ``None`` when none is found. ``text(i)`` words step
        ``i``; ``keeps`` says of the changed world whether what matters is still there (the
        wanted ground still seen, say).
        """

    def lessens(self, text: str, edits: Sequence[Change], *, ladder: bool = False) -> Remedy | None:
        """A remedy that may only help in part: kept when the figure improves by a tenth
        or more and nothing new appears; ``partial`` unless the finding goes.
        """


class Rule(ABC, Generic[S]):
    """The base of a rule: metadata, ``measure`` and ``tell``. Small, frozen, no state."""

    info: ClassVar[Info]
    subject: ClassVar[str]
    settings: ClassVar[type[Settings]] = Settings
    heeds: ClassVar[frozenset[str] | None] = None
    """kinds of other things whose change can change its readings of one thing (its cables, and what
    it is a part of, are not others; ``area`` for which camera shows one); ``None`` for any. A remedy
    is held against the rules that heed what it touches.
    """

    @abstractmethod
    def measure(self, subject: S, q: Query, settings: Any) -> Iterable[Reading | Unknown]:
        """The figure, always, finding or not. Raise or yield ``Unknown`` where the plan is silent."""

    @abstractmethod
    def tell(self, reading: Reading, q: Trial, settings: Any) -> Told:
        """The words and remedies, asked only for a reading past a limit."""

    def level(self, reading: Reading, value: float, settings: Any) -> Level | None:
        """The level a value of this reading's figure has; by default from the limits."""
        limits: Limits = settings.limits
        return limits.level(value, reading.figure.good)


# ----------------------------------------------------------------------- studies, kinds


class Study(Struct, Generic[S, R], frozen=True):
    """Something dear, computed once a subject and world and shared by all rules.

    ``compute`` is ``"package.module:function"``, imported when first asked for, or the
    function itself: ``compute(subject, query) -> result``. ``vary``, of the same form, is
    a short cut: ``vary(base_result, subject, changes, query)`` gives the result in a
    changed world from the base world's, or ``None`` where it cannot.
    ``keep`` says how long a result lives: its subject's turn, or the whole run.
    """

    name: str
    compute: str | Callable[[S, Query], R]
    keep: Literal["subject", "run"] = "subject"
    vary: str | Callable[[R, S, tuple[Change, ...], Query], R | None] | None = None


class Kind(ABC, Generic[R]):
    """A pack's own noun, written as a list under ``key`` at the top of a plan.

    ``schema`` is the JSON Schema of one entry. ``read`` turns a checked entry into a
    frozen value with an ``id``; ``surfaces`` gives the solids it adds to the place and
    ``lights`` its lamps, each as plan objects or lamps (both empty by default).
    """

    key: ClassVar[str]
    type: ClassVar[str]
    schema: ClassVar[Mapping[str, Any]]

    @abstractmethod
    def read(self, entry: Mapping[str, Any], context: Any) -> R:
        """A checked entry as a frozen value; ``context`` has ``length()`` and ``where()``."""

    def surfaces(self, thing: R) -> Iterable[Any]:
        """Objects (``oneclimb.plan.model.Object``) this thing adds to the place."""
        del thing
        return ()

    def lights(self, thing: R) -> Iterable[Any]:
        """Lamps (``oneclimb.plan.model.Lamp``) this thing adds."""
        del thing
        return ()


class Later(Struct, frozen=True):
    """A rule that is imported only for a plan it has something to say about, so that a start
    costs no more with many rules: one that has its ``subject`` and, where any are named, one
    of the keys ``needs`` (anywhere; keys that no remedy writes).
    """

    code: str
    at: str
    """``package.module:Class``; code and subject are held equal to the class's own when it is imported"""
    subject: str
    needs: frozenset[str] = frozenset()


class Into(Protocol):
    """Where a pack registers what it brings."""

    api: int

    def rule(self, rule: type[Rule[Any]] | Later) -> None:
        """Register a rule: its class, or where to import it from when a plan needs it."""

    def kind(self, kind: type[Kind[Any]]) -> None:
        """Register a noun."""

    def study(self, study: Study[Any, Any]) -> None:
        """Register a study by name, so that other packs can find it."""


class PackSpec:
    """The one hook."""

    @pack_spec
    def oneclimb_pack(self, into: Into) -> None:
        """Register this pack's rules, kinds and studies; check ``into.api == 1`` first."""


__all__ = [
    "API_VERSION",
    "ENTRY_POINTS",
    "LEVELS",
    "Change",
    "Figure",
    "Finding",
    "Info",
    "Into",
    "Kind",
    "Later",
    "Level",
    "Limits",
    "PackError",
    "PackSpec",
    "Query",
    "Reading",
    "Ref",
    "Related",
    "Remedy",
    "Rule",
    "Say",
    "Setting",
    "Settings",
    "Study",
    "Told",
    "Trial",
    "Unknown",
    "pack_hook",
    "setting",
]
