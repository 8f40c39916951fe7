"""How much a plan may hold, so that no file makes the check hang."""

from __future__ import annotations

from typing import Any

from msgspec import Struct
from msgspec.structs import replace


class Limits(Struct, frozen=True):
    """The limits; each can be raised with ``--limit NAME=VALUE`` (the field's name with ``-``)."""

    file_bytes: int = 3 * 1024 * 1024
    cameras: int = 2000
    triangles: int = 1_000_000
    corners: int = 1000
    """corners of one outline"""
    samples: int = 1000
    """samples of one area"""
    site_size: float = 5000.0
    """width of the site, m"""
    depth: int = 40
    """lists and keys within one another"""
    scalar_length: int = 4096
    digits: int = 40
    """characters of a number"""
    faults: int = 100
    """faults shown for a file"""

    def with_setting(self, text: str) -> Limits:
        """These limits with one of them changed by ``NAME=VALUE``. Raises ``ValueError`` with the reason."""
        name, _, value = text.partition("=")
        known = {name.replace("_", "-"): name for name in self.__struct_fields__}
        if name not in known:
            raise ValueError(f"no limit is called {name!r}: there are {', '.join(known)}")
        try:
            number: Any = float(value) if known[name] == "site_size" else int(value)
        except ValueError:
            raise ValueError(f"{name} takes a number, not {value!r}") from None
        if not 0 < number < 1e12:
            raise ValueError(f"{name} takes a number above 0, not {value}")
        return replace(self, **{known[name]: number})


def passed(name: str, what: str) -> str:
    """The words for a limit that is passed: ``what`` says how, the option follows."""
    return f"{what} (--limit {name.replace('_', '-')}=… raises it)"
