"""The paper that pages are written on: templates, the look, and what a browser may do with the page.

A page is one file. Its policy lets a browser run the one script and use the one style sheet that are written into it,
known by their digests, and load nothing: what a plan's text might hold can neither run nor call out.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence
from functools import cache
from importlib import resources
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from msgspec import Struct

from oneclimb.report.look import tied
from oneclimb.report.quote import quote


class Outfit(Struct, frozen=True):
    """What a page wears and may do: names of style sheets and scripts beside this file, further ``rules`` of style,
    and where its script may ``connect`` to (nowhere).
    """

    styles: Sequence[str]
    scripts: Sequence[str] = ()
    rules: str = ""
    connect: str = ""


def written(template: str, outfit: Outfit, **values: Any) -> str:
    """A page: a template filled with values.

    Every value that is not ``Markup`` of our own goes through ``quote`` and is escaped.
    """
    style, script = _together(outfit.styles, outfit.rules), _together(outfit.scripts)
    policy = _policy(style, script, outfit.connect)
    return environment().get_template(template).render(style=style, script=script, policy=policy, **values) + "\n"


@cache
def environment() -> Environment:
    """The templates' environment: everything escaped, nothing left undefined, every text quoted on its way out."""
    made = Environment(
        loader=PackageLoader("oneclimb.web"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_quoted,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["tied"] = tied
    return made


def _quoted(value: object) -> object:
    return value if isinstance(value, Markup) or not isinstance(value, str) else quote(value)


def _together(files: Sequence[str], more: str = "") -> Markup:
    here = resources.files("oneclimb.web")
    texts = [(here / name).read_text(encoding="utf-8").strip() for name in files]
    return Markup("\n".join([*texts, more]).strip())  # noqa: S704 - ours


def _policy(style: str, script: str, connect: str) -> str:
    """A Content-Security-Policy (W3C, level 3) under which nothing but these two are of any effect."""
    parts = ["default-src 'none'", f"style-src {_digest(style)}", "img-src data:"]
    parts += [f"script-src {_digest(script)}"] if script else []
    parts += [f"connect-src {connect}"] if connect else []
    return "; ".join([*parts, "base-uri 'none'", "form-action 'none'"])


def _digest(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
