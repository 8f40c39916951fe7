"""The published schemas: sound, annotated throughout, and judged alike by both validators."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

import jsonschema
import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from oneclimb.api import Info, Kind, Limits, Reading, Rule, Settings, Told, setting
from oneclimb.plan.faults import Fault
from oneclimb.plan.judge import check, is_valid
from oneclimb.plan.read import Loaded, load_document
from oneclimb.plan.schema import OWNER, PLAN, Schemas, schema_text
from oneclimb.plan.text import Document, parse
from plan.strategies_plan import plans, spoiled_data
from plan.written import CAMERA, DATA, SCHEMA, faults, plan_of, site

SCHEMAS = {name: json.loads(schema_text(name)) for name in (PLAN, OWNER)}


def properties(part: Any, path: str = "") -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Every property of a schema, however deep, with where it is."""
    if isinstance(part, dict):
        for key, value in part.items():
            if key == "properties" and "if" not in path.split("/")[-2:]:
                yield from ((f"{path}/{name}", one) for name, one in value.items())
            yield from properties(value, f"{path}/{key}")
    elif isinstance(part, list):
        for i, value in enumerate(part):
            yield from properties(value, f"{path}/{i}")


ALL = [(name, path, one) for name, schema in SCHEMAS.items() for path, one in properties(schema)]


@pytest.mark.parametrize("name", SCHEMAS)
def test_a_schema_is_sound_and_says_which_it_is(name: str) -> None:
    schema = SCHEMAS[name]
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["$id"] == f"urn:oneclimb:schema:{name.partition('-')[0]}:1"
    jsonschema.Draft202012Validator.check_schema(schema)


def test_there_are_as_many_properties_as_a_plan_needs() -> None:
    assert len(ALL) > 250


def test_every_property_has_title_description_and_examples() -> None:
    bare = [(path, key) for _, path, one in ALL for key in ("title", "description", "examples") if not one.get(key)]
    assert bare == []


def test_every_quantity_has_its_unit() -> None:
    """A property that takes a number, as such or by reference, says in what."""
    counts = {"storey", "storeys", "version"}
    bare = []
    for name, path, one in ALL:
        defs = SCHEMAS[name]["$defs"]
        part = {**defs.get(str(one.get("$ref", "")).rpartition("/")[2], {}), **one}
        types = part.get("type", [])
        if {"number", "integer"} & set([types] if isinstance(types, str) else types) and not part.get("unit"):
            bare.append(path)
        if "$ref" in one and part.get("unit") and not one.get("unit"):
            bare.append(path)
    assert [path for path in bare if path.rpartition("/")[2] not in counts] == []


def test_every_example_is_valid() -> None:
    wrong = []
    for name, path, one in ALL:
        judge = jsonschema.Draft202012Validator({"$defs": SCHEMAS[name]["$defs"], **one})
        wrong += [(path, example) for example in one["examples"] if not judge.is_valid(example)]
    assert wrong == []


def test_alternatives_are_told_by_kind_and_never_by_trial() -> None:
    text = schema_text(PLAN)
    assert '"oneOf"' not in text
    assert '"anyOf"' not in text
    assert '"if"' in text


def test_words_other_tools_read_as_booleans_are_not_in_the_language() -> None:
    taken = {"on", "off", "yes", "no"}
    keys = {path.rpartition("/")[2] for _, path, _ in ALL}
    words = {str(word).lower() for _, _, one in ALL for word in one.get("enum", ())}
    assert not taken & keys
    assert not taken & words


def test_the_schemas_defaults_are_what_the_reader_takes() -> None:
    """Defaults written in the schema, against the model read from a plan that leaves everything out."""
    plan = plan_of(site("lamps: [{id: a, wall: front}]\nareas: [{id: b, for: detect, wall: front}]"))
    things = {"camera": plan.cameras[0], "lamp": plan.lamps[0], "area": plan.areas[0], "building": plan.buildings[0]}
    compared = 0
    for noun, thing in things.items():
        for key, one in SCHEMAS[PLAN]["$defs"][noun]["properties"].items():
            field = key.replace("-", "_")
            if isinstance(one.get("default"), (bool, int, float, str)) and hasattr(thing, field):
                value = getattr(thing, field)
                if key not in ("view", "pixels"):
                    assert value == one["default"], (noun, key)
                    compared += 1
    assert compared >= 10
    assert (plan.cameras[0].view.across, plan.cameras[0].pixels) == (100.0, (2560, 1440))


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(plans(), st.integers(0, 2**32), st.booleans())
def test_the_fast_validators_yes_is_jsonschemas_yes(data: dict[str, Any], seed: int, spoil: bool) -> None:
    """The verdicts are the same, but for numbers too large for the fast one, where it says no and jsonschema judges."""
    if spoil:
        data = spoiled_data(data, random.Random(seed))  # noqa: S311 - reproducible on purpose
    fast, slow = is_valid(SCHEMA, data), jsonschema.Draft202012Validator(SCHEMA).is_valid(data)
    assert fast == slow or (not fast and "1000000000000000000" in json.dumps(data))


@pytest.mark.parametrize(
    "data", [{"cameras": [{"id": "a", "mount": {"wall": "front", "height": 10**30}}]}, {"cameras": 10**400}]
)
def test_a_number_too_large_for_the_fast_validator_is_judged_by_the_other(data: dict[str, Any]) -> None:
    assert not is_valid(SCHEMA, data)
    assert not jsonschema.Draft202012Validator(SCHEMA).is_valid(data)


def test_entries_judged_one_by_one_give_the_errors_of_the_whole() -> None:
    text = site("objects: [{id: a, kind: car}, {id: b, kind: carr}]\nlamps: [{id: c}, {idd: d}]", f"{CAMERA}, 5")
    whole = jsonschema.Draft202012Validator(SCHEMA).iter_errors(yaml.safe_load(text))
    assert len(faults(text)) == len(list(whole))
    assert [fault.code for fault in faults(text)] == ["PLAN-14", "PLAN-12", "PLAN-11", "PLAN-13"]


class Plain(Rule[Any]):
    """A rule with a setting of each type."""

    class Own(Settings, frozen=True):
        """Its settings."""

        limits: Limits = Limits(warning=0.2)
        far_off: float = setting(3.0, "how far off counts", unit="m", minimum=0.0)
        strict: bool = setting(default=False, about="whether to be strict")
        words: tuple[str, ...] = setting(("a",), "words that count")
        tone: str = setting("dry", "how it is said")

    info: ClassVar[Info] = Info("TEST-01", "a test's rule", ("none",), "none.md")
    subject: ClassVar[str] = "camera"
    settings: ClassVar[type[Settings]] = Own

    def measure(self, subject: Any, q: Any, settings: Any) -> Iterator[Reading]:
        """Nothing."""
        del subject, q, settings
        return iter(())

    def tell(self, reading: Reading, q: Any, settings: Any) -> Told:
        """Nothing."""
        del reading, q, settings
        return Told("")


class Bench(Kind[Any]):
    """A bench to sit on."""

    key: ClassVar[str] = "benches"
    type: ClassVar[str] = "bench"
    schema: ClassVar[Mapping[str, Any]] = {
        "type": "object",
        "required": ["id"],
        "not": {"required": ["never"]},
        "properties": {"id": {"type": "string"}, "wall": {"type": "string"}, "wide": {"type": ["number", "string"]}},
    }

    def read(self, entry: Mapping[str, Any], context: Any) -> Any:
        """Its place and width."""
        return Seat(entry["id"], context.where(entry).wall, context.length(entry.get("wide", "1.5 m")))


@dataclass(frozen=True, slots=True)
class Seat:
    """A bench, read."""

    id: str
    wall: str
    wide: float


COMPOSER = Schemas({"benches": Bench()}, {"TEST-01": Plain()})
COMPOSED = COMPOSER.whole()


def composed(text: str) -> Loaded:
    """A plan read with the pack's noun and rule."""
    document = parse("x", text)
    assert isinstance(document, Document)
    return load_document(document, {"benches": Bench()}, COMPOSER)


def test_a_composed_schema_is_sound_and_its_properties_are_annotated() -> None:
    jsonschema.Draft202012Validator.check_schema(COMPOSED)
    rule = COMPOSED["properties"]["settings"]["properties"]["TEST-01"]
    assert set(rule["properties"]) == {"note", "warning", "error", "level", "far-off", "strict", "words", "tone"}
    for one in rule["properties"].values():
        assert one["title"]
        assert one["description"]
        assert one["examples"]


def test_a_packs_noun_is_read_checked_and_found_again() -> None:
    loaded = composed(site("benches: [{id: b, wall: back, wide: 180 cm}]"))
    assert loaded.plan is not None, loaded.faults
    assert loaded.plan.things["benches"] == (Seat("b", "back", 1.8),)
    assert [f.code for f in composed(site("benches: [{id: b}]")).faults] == ["PLAN-21"]
    assert [f.code for f in composed(site("benches: [{id: b, wall: bak}]")).faults] == ["PLAN-19"]
    assert [f.code for f in composed(site("benches: [{id: b, wall: back, wide: 2 furlongs}]")).faults] == ["PLAN-15"]
    assert [f.code for f in composed(site("benches: [{id: b, wall: back, never: 1}]")).faults] == ["PLAN-17"]
    assert [f.code for f in composed(site("benches: [{id: b, wall: back}, {id: b, wall: front}]")).faults] == [
        "PLAN-18"
    ]


def test_a_rules_settings_are_checked_and_read_in_si() -> None:
    plan = composed(
        "units: feet\n" + site("settings: {TEST-01: {warning: 30 %, far-off: 10, words: [x], level: note}}")
    ).plan
    assert plan is not None
    assert dict(plan.settings["TEST-01"]) == {
        "warning": 0.3,
        "far-off": pytest.approx(3.048),
        "words": ("x",),
        "level": "note",
    }

    def one(text: str) -> Fault:
        (found,) = composed(site(f"settings: {text}")).faults
        return found

    assert one("{TEST-02: {}}").hint == "did you mean `TEST-01`?"
    assert one("{TEST-01: {warn: 3}}").code == "PLAN-11"
    assert one("{TEST-01: {far-off: -1}}").code == "PLAN-16"
    assert one("{TEST-01: {strict: 3}}").code == "PLAN-13"
    assert one("{TEST-01: {level: fatal}}").code == "PLAN-14"


def test_the_examples_of_this_room_are_valid_to_both_validators() -> None:
    for file in sorted(DATA.glob("*.plan.yaml")):
        document = parse(file.name, file.read_text(encoding="utf-8"))
        assert isinstance(document, Document)
        assert check(SCHEMA, document) == ()
        assert jsonschema.Draft202012Validator(SCHEMA).is_valid(document.data)
