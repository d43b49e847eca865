"""Test the tests: sow one bug at a time into the planner, and see which test catches it.

`python -m tests.bench.sowing [NAME ...]` sows all bugs, or those whose names hold one of the words.
The bugs stand in a copy of the tree; the tree itself is never touched.
"""

import os
import re
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path
from shutil import copytree, ignore_patterns
from tempfile import TemporaryDirectory

from tests.bench.sown import BUGS, Bug

ROOT = Path(__file__).parents[2]
TESTS = (
    "tests/planning/test_sown_days.py",
    "tests/planning/test_sown_backups.py",
    "tests/planning/test_sown_kitchens.py",
    "tests/planning/test_tiny_days.py",
    "tests/planning/test_mended_days.py",
    "tests/planning/test_lots.py",
    "tests/published",
    "tests/planning/test_examples.py",
)
NEEDED = ("app", "tests", "seed_demo")
LIMIT_S = 3600


def copied(folder: Path) -> Path:
    """Copy what the tests need of the tree into a folder, and return it."""
    for name in NEEDED:
        copytree(ROOT / name, folder / name, ignore=ignore_patterns("__pycache__"))
    (folder / "pyproject.toml").write_bytes((ROOT / "pyproject.toml").read_bytes())
    return folder


def sown(bug: Bug, text: str) -> str | None:
    """Return the text of a file with a bug in it; None if its place is not there just once."""
    return text.replace(bug.text, bug.instead) if text.count(bug.text) == 1 else None


def fate(bug: Bug, tree: Path, tests: tuple[str, ...] = TESTS) -> tuple[str, str]:
    """Sow a bug, run the tests until one fails, take the bug out again; tell what became of it."""
    file = tree / bug.file
    before = file.read_text("utf-8")
    after = sown(bug, before)
    if after is None:
        return "stale", "its text is no longer there just once"
    file.write_text(after, "utf-8")
    try:
        return _tested(tree, (bug.first, *tests) if bug.first else tests)
    finally:
        file.write_text(before, "utf-8")


def _tested(tree: Path, tests: tuple[str, ...]) -> tuple[str, str]:
    command = [sys.executable, "-m", "pytest", "-x", "-p", "no:cacheprovider", *tests]
    bare = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}
    try:
        done = subprocess.run(
            command, cwd=tree, capture_output=True, text=True, timeout=LIMIT_S, env=bare
        )
    except subprocess.TimeoutExpired:
        return "stuck", f"no end in {LIMIT_S} s"
    failed = re.search(r"^(?:FAILED|ERROR) (.*)$", done.stdout, re.MULTILINE)
    if failed:
        return "caught", failed[1]
    return ("survived", "") if done.returncode == 0 else ("caught", done.stdout[-200:])


def main(words: list[str], tests: tuple[str, ...] = TESTS) -> None:
    """Tell of each bug whether a test catches it."""
    os.nice(19 - os.nice(0))
    fates: Counter[str] = Counter()
    with TemporaryDirectory() as folder:
        tree = copied(Path(folder))
        for bug in BUGS:
            if words and not any(word in bug.name for word in words):
                continue
            began = time.monotonic()
            word, told = fate(bug, tree, tests)
            fates[word] += 1
            print(f"{word:8}  {bug.name}  ({time.monotonic() - began:.0f} s)  {told}", flush=True)
    print(dict(fates))


if __name__ == "__main__":
    main(sys.argv[1:])
