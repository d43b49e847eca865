"""Test the tests: sow one bug at a time into the planner, and see which test catches it.

`python -m tests.bench.sowing [NAME ...] [--table FILE] [--minutes N] [--earlier FILE]` sows all
bugs, or those whose names hold one of the words, and ends with a table. The bugs stand in a copy of
the last commit under the temporary folder; the tree itself is never touched. The tests most likely
to catch something come first, and the first that fails ends a bug: *caught* where a test finds an
answer wrong, *crashed* where the planner itself breaks down in a test, which then fails too. Where
the whole process dies no test is left to fail, so the others are run without the one that it died
in: *died, caught* if one of them fails, *died* if none does. With `--table`, what became of each is
written down at once, and a bug that is written down already is not sown again: so it can be run in
pieces, each of so many minutes. With `--earlier`, a table of some time ago, the very test that
caught a bug then is tried before all others.
"""

import argparse
import io
import json
import os
import re
import resource
import signal
import subprocess
import sys
import tarfile
import time
from collections import Counter
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.bench.sown import BUGS, Bug
from tests.bench.spent import children_s

ROOT = Path(__file__).parents[2]
TESTS = (
    "tests/planning/test_sown_days.py",
    "tests/planning/test_sown_backups.py",
    "tests/planning/test_sown_kitchens.py",
    "tests/planning/test_sown_ways.py",
    "tests/planning/test_sown_mending.py",
    "tests/planning/test_lots.py",
    "tests/planning/test_mended_days.py",
    "tests/planning/test_tiny_days.py",
    "tests/published",
    "tests/planning/test_examples.py",
)
MOST_DEATHS = 3
# How pytest tells where a failure is from, which test failed, and which was running at the end.
WHERE = re.compile(r"^(/.*\.py):\d+: ", re.MULTILINE)
FAILED = re.compile(r"^(?:FAILED|ERROR) (.*)$", re.MULTILINE)
RUNNING = re.compile(r"^(tests/\S+?\.py::.*?)\s*$", re.MULTILINE)
NEEDED = ("app", "tests", "seed_demo", "pyproject.toml")
LIMIT_S = 600


@dataclass(frozen=True)
class Fate:
    """What became of a bug: one word, the seconds of processor time, what is told of it."""

    bug: str
    word: str
    cpu_s: float
    told: str


def copied(folder: Path) -> Path:
    """Copy what the tests need of the last commit into a folder, and return it."""
    command = ["git", "-C", str(ROOT), "archive", "HEAD", *NEEDED]
    packed = subprocess.run(command, capture_output=True, check=True).stdout
    with tarfile.open(fileobj=io.BytesIO(packed)) as archive:
        archive.extractall(folder, filter="data")
    return folder


def sown(bug: Bug, text: str) -> str | None:
    """Return the text of a file with a bug in it; None if its place is not there just once."""
    return text.replace(bug.text, bug.instead) if text.count(bug.text) == 1 else None


def fate(bug: Bug, tree: Path, tests: tuple[str, ...] = TESTS, once: str = "") -> Fate:
    """Sow a bug, run the tests until one fails, take the bug out again; tell what became of it.

    `once` is the test that caught it once, and is tried by itself before.
    """
    file = tree / bug.file
    before = file.read_text("utf-8")
    after = sown(bug, before)
    if after is None:
        return Fate(bug.name, "stale", 0.0, "its text is no longer there just once")
    file.write_text(after, "utf-8")
    began_s = children_s()
    try:
        word, told, _ = verdict(tree, (once,), ()) if once else ("", "", None)
        if word not in ("caught", "crashed"):
            word, told = _tested(tree, (bug.first, *tests) if bug.first else tests)
    finally:
        file.write_text(before, "utf-8")
    return Fate(bug.name, word, round(children_s() - began_s, 1), told)


def _tested(tree: Path, tests: tuple[str, ...]) -> tuple[str, str]:
    """Run the tests; where one takes the process with it, the others too."""
    deaths: list[str] = []
    while True:
        word, told, died_in = verdict(tree, tests, deaths)
        if died_in is None or died_in in deaths or len(deaths) == MOST_DEATHS:
            break
        deaths.append(died_in)
    if not deaths:
        return word, told
    died = f"died in {', '.join(deaths)}"
    return ("died", died) if word in ("survived", "died") else (f"died, {word}", f"{told}; {died}")


def verdict(tree: Path, tests: Iterable[str], spared: Iterable[str]) -> tuple[str, str, str | None]:
    """Run the tests but for some; return a word, what is told, and the test that it died in."""
    command = [sys.executable, "-m", "pytest", "-x", "-v", "--tb=line", "-p", "no:cacheprovider"]
    command += [*(f"--deselect={each}" for each in spared), *tests]
    bare = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run(
        command, cwd=tree, capture_output=True, text=True, env=bare, preexec_fn=_bounded
    )
    failed = FAILED.search(done.stdout)
    if failed:
        where = WHERE.search(done.stdout)
        is_found = where is None or Path(where[1]).is_relative_to(tree.resolve() / "tests")
        return ("caught" if is_found else "crashed"), failed[1], None
    if done.returncode == -signal.SIGXCPU:
        return "stuck", f"no end in {LIMIT_S} s of processor time", None
    if done.returncode == 0:
        return "survived", "", None
    running = RUNNING.findall(done.stdout)
    return "died", f"ended by {done.returncode}", running[-1] if running else "the start"


def _bounded() -> None:
    resource.setrlimit(resource.RLIMIT_CPU, (LIMIT_S, LIMIT_S + 5))


def known_in(table: Path | None) -> dict[str, Fate]:
    """Return what a table tells already, by the names of the bugs."""
    if table is None or not table.exists():
        return {}
    fates = [Fate(**json.loads(line)) for line in table.read_text("utf-8").splitlines()]
    return {each.bug: each for each in fates}


def sow(bugs: list[Bug], table: Path | None, until: float, earlier: dict[str, Fate]) -> list[Fate]:
    """Sow the bugs of which nothing is known, for so long; return what is known then."""
    known = known_in(table)
    once = {name: each.told.partition(" - ")[0] for name, each in earlier.items() if _was(each)}
    with TemporaryDirectory() as folder:
        tree = copied(Path(folder))
        for bug in bugs:
            if bug.name in known or time.monotonic() > until:
                continue
            found = known[bug.name] = fate(bug, tree, once=once.get(bug.name, ""))
            print(f"{found.word:12}  {found.bug}  ({found.cpu_s:.0f} s)  {found.told}", flush=True)
            if table is not None:
                with table.open("a", encoding="utf-8") as file:
                    file.write(json.dumps(asdict(found)) + "\n")
    return [known[bug.name] for bug in bugs if bug.name in known]


def _was(fate: Fate) -> bool:
    return fate.word in ("caught", "crashed") and "::" in fate.told


def tell(bugs: list[Bug], fates: list[Fate]) -> None:
    """Print which test caught each bug, then how many there are of each fate."""
    print(f"\n{'bug':58} {'fate':12} {'CPU s':>6}  by")
    for each in fates:
        by = each.told.partition(" - ")[0].rpartition("/")[2]
        print(f"{each.bug:58} {each.word:12} {each.cpu_s:6.1f}  {by}")
    counts = Counter(each.word for each in fates)
    said = ", ".join(f"{count} {word}" for word, count in counts.most_common())
    spent_s = sum(each.cpu_s for each in fates)
    print(f"{len(fates)} of {len(bugs)} sown: {said}; {spent_s:.0f} s of processor time")


def main() -> None:
    """Read which bugs to sow, sow them, and tell."""
    reader = argparse.ArgumentParser(description=__doc__)
    reader.add_argument("words", nargs="*", help="parts of the names of bugs")
    reader.add_argument("--table", type=Path, help="where to write down what became of each")
    reader.add_argument("--minutes", type=float, default=float("inf"), help="of this piece")
    reader.add_argument("--earlier", type=Path, help="a table of some time ago")
    given = reader.parse_args()
    os.nice(19 - os.nice(0))
    some = [each for each in BUGS if not given.words or any(w in each.name for w in given.words)]
    until = time.monotonic() + 60 * given.minutes
    tell(some, sow(some, given.table, until, known_in(given.earlier)))


if __name__ == "__main__":
    main()
