"""The table of mutants fits the source: each would change its file, and names tests that are there."""

from __future__ import annotations

from pathlib import Path

import pytest
from mutant_table import MUTANTS, Mutant
from mutant_table_more import MORE

ROOT = Path(__file__).parents[2]
ALL = (*MUTANTS, *MORE)


@pytest.mark.parametrize("mutant", ALL, ids=[m.slip for m in ALL])
def test_mutant_changes_one_piece_of_its_file(mutant: Mutant) -> None:
    assert (ROOT / mutant.file).read_text(encoding="utf-8").count(mutant.original) == 1
    assert mutant.mutated != mutant.original
    assert all((ROOT / test).is_file() for test in mutant.noticed_by)


def test_no_mutant_is_listed_twice() -> None:
    assert len({(m.file, m.original, m.mutated) for m in ALL}) == len({m.slip for m in ALL}) == len(ALL)
