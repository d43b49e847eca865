"""Bugs that are sown to test the tests still find their place in the planner."""

from collections import Counter
from pathlib import Path

import pytest

from tests.bench.sowing import sown
from tests.bench.sown import BUGS, Bug

ROOT = Path(__file__).parents[1]


@pytest.mark.parametrize("bug", BUGS, ids=lambda bug: bug.name)
def test_a_bug_has_one_place_to_be_sown(bug: Bug) -> None:
    """The text stands exactly once in its file, and what replaces it is still Python."""
    after = sown(bug, (ROOT / bug.file).read_text("utf-8"))
    assert after is not None
    compile(after, bug.file, "exec")


def test_bugs_are_told_apart_by_their_names() -> None:
    """Each is a bug of its own, and there are many."""
    names = Counter(bug.name for bug in BUGS)
    assert max(names.values()) == 1
    assert len({(bug.file, bug.text, bug.instead) for bug in BUGS}) == len(BUGS) >= 25
