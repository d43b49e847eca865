"""Bugs that are sown to test the tests still find their place in the planner."""

from collections import Counter
from pathlib import Path

import pytest

from tests.bench.sowing import fate, sown
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


FILE = "app/planned.py"
TEST = """
from app.planned import plan

def test_first():
    assert plan(0) == 0

def test_second():
    assert plan(1) == 1
"""


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    """Return a folder of a planner of one line, and two tests of it."""
    for name, text in ((FILE, "def plan(n):\n    return n\n"), ("tests/test_plan.py", TEST)):
        (tmp_path / name).parent.mkdir()
        (tmp_path / name).write_text(text, "utf-8")
    (tmp_path / "app/__init__.py").touch()
    (tmp_path / "pytest.ini").write_text("[pytest]\npythonpath = .\n", "utf-8")
    return tmp_path


DIES = "(n if {} else __import__('os').abort())"


@pytest.mark.parametrize(
    ("instead", "word", "told"),
    [
        ("n * 2", "caught", "test_second"),
        ("n // 0", "crashed", "test_first"),
        ("n + 0", "survived", ""),
        (DIES.format("n == 1"), "died", "died in tests/test_plan.py::test_first"),
        (DIES.format("n == 0"), "died", "died in tests/test_plan.py::test_second"),
        (DIES.format("n == 1").replace("(n", "(n * 2"), "died, caught", "test_second - "),
    ],
)
def test_it_is_told_apart_what_becomes_of_a_bug(
    tree: Path, instead: str, word: str, told: str
) -> None:
    """A wrong answer, a planner that breaks down, one that takes the process with it."""
    bug = Bug("bug", FILE, "return n", f"return {instead}")
    found = fate(bug, tree, ("tests",))
    assert found.word == word
    assert told in found.told
    assert (tree / FILE).read_text("utf-8").endswith("return n\n")


@pytest.mark.parametrize(
    ("once", "told"),
    [
        ("tests/test_plan.py::test_second", "test_second"),
        ("tests/test_plan.py::test_first", "test_second"),
        ("tests/test_plan.py::test_no_more", "test_second"),
    ],
)
def test_what_caught_a_bug_once_is_tried_first(tree: Path, once: str, told: str) -> None:
    """It may have lost its bite since, or be gone."""
    found = fate(Bug("bug", FILE, "return n", "return n * 2"), tree, ("tests",), once)
    assert found.word == "caught"
    assert told in found.told
