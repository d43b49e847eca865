"""The rules of the house, held against the tree."""

import ast
import hashlib
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
APP = ROOT / "app"
FILES = sorted(APP.rglob("*.py"))
PURE = [file for file in FILES if file.is_relative_to(APP / "planning")] + [
    file for file in FILES if file.is_relative_to(APP / "food")
]
LONGEST_FILE, LONGEST_FUNCTION = 300, 40
# Pure rooms: what of the standard library computes, and what tables are read with.
COMPUTES = """
abc array bisect collections concurrent contextlib copy csv dataclasses datetime decimal difflib
enum fractions functools hashlib heapq importlib itertools json math operator re statistics string
threading types typing unicodedata zoneinfo
"""
STANDARD = frozenset(COMPUTES.split())
LIBRARIES = {"numpy", "ortools", "pint", "pydantic", "pydantic_core"}
# What would look at the clock, the disk or the dice, though its module may be imported.
IMPURE = re.compile(
    r"\b(?:datetime|date)\.(?:now|utcnow|today)\b"
    r"|(?<![\w.])(?:open|input|print)\("
    r"|\bdefault_rng\(\s*\)|\bnp\.random\.(?!Generator|default_rng|SeedSequence)"
)
# sha256 of the minified files as their makers publish them, htmx 4.0.1, npm package htmx.org
# (measured from `npm pack htmx.org@4.0.1`).
VENDORED = {
    "htmx.min.js": "a0abb04f2f45a1f89d1d4844023245537e5e6014c87b144553e0607b4cc32130",
    "hx-sse.min.js": "18ef2761356ec1fe0bb6d92612315b37517a7c1e9856b661c5ae81fef239d103",
}


def _named(file: Path) -> str:
    return str(file.relative_to(ROOT))


def _functions(file: Path) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def _imported(file: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (each.name for each in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module or ""


def test_the_arrows_between_the_rooms_are_kept() -> None:
    """Each room imports the rooms to its right and nothing to its left; two rooms are pure."""
    linted = subprocess.run(
        [Path(sys.executable).with_name("lint-imports"), "--no-logo", "--no-cache"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert linted.returncode == 0, linted.stdout + linted.stderr
    assert "2 kept, 0 broken" in linted.stdout


@pytest.mark.parametrize("file", PURE, ids=_named)
def test_planning_and_food_import_only_what_computes(file: Path) -> None:
    """No clock, network, database or process comes in, not even by the standard library."""
    allowed = STANDARD | LIBRARIES
    rooms = ("app.planning", "app.food")
    foreign = {
        name
        for name in _imported(file)
        if name.split(".")[0] not in allowed and not name.startswith(rooms)
    }
    assert foreign == set()


@pytest.mark.parametrize("file", PURE, ids=_named)
def test_planning_and_food_look_at_no_clock_disk_or_dice(file: Path) -> None:
    """What a module may import can still tell the time or roll dice; that is refused by name."""
    assert IMPURE.findall(file.read_text("utf-8")) == []


@pytest.mark.parametrize("file", FILES, ids=_named)
def test_files_and_functions_stay_short(file: Path) -> None:
    """A file that grows past its measure holds a noun that wants a file of its own."""
    assert len(file.read_text("utf-8").splitlines()) <= LONGEST_FILE
    long = [
        each.name
        for each in _functions(file)
        if each.end_lineno is not None and each.end_lineno - each.lineno >= LONGEST_FUNCTION
    ]
    assert long == []


def test_every_file_is_named_for_a_noun() -> None:
    """A drawer for everything is where things get lost."""
    drawers = {"util", "utils", "helper", "helpers", "core", "common", "misc"}
    everywhere = [*APP.rglob("*"), *(ROOT / "tests").rglob("*"), *(ROOT / "templates").rglob("*")]
    assert [each for each in everywhere if each.stem.strip("_") in drawers] == []


def _map_rows() -> list[tuple[str, list[str], list[str]]]:
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    table = text.split("| I want to … | open | test in |", 1)[1].split("\n\n", 1)[0]
    lines = [line for line in table.splitlines()[2:] if "`" in line]
    rows = [line.strip("|").split("|") for line in lines]
    return [
        (cells[0].strip(), re.findall(r"`([^`]+)`", cells[1]), re.findall(r"`([^`]+)`", cells[2]))
        for cells in rows
    ]


@pytest.mark.parametrize("row", _map_rows(), ids=lambda row: row[0])
def test_the_developers_map_leads_to_real_places(row: tuple[str, list[str], list[str]]) -> None:
    """Every file and folder of the map is there."""
    _, opened, tested = row
    assert opened
    assert tested
    assert [path for path in opened + tested if not list(ROOT.glob(path.rstrip("/")))] == []


def test_the_developers_map_leads_to_every_room() -> None:
    """Whoever looks for a file of `app/` finds it, or its folder, in the map."""
    opened = {path.rstrip("/") for _, paths, _ in _map_rows() for path in paths}
    mapped = {found for path in opened for found in ROOT.glob(path)}
    lost = [
        _named(file)
        for file in FILES
        if file.name != "__init__.py" and not mapped & {file, *file.parents}
    ]
    assert lost == []


@pytest.mark.parametrize(("name", "digest"), VENDORED.items())
def test_vendored_scripts_are_what_their_makers_published(name: str, digest: str) -> None:
    """A script from elsewhere is pinned by its hash."""
    (file,) = (ROOT / "static" / "vendor").rglob(name)
    assert hashlib.sha256(file.read_bytes()).hexdigest() == digest


def test_pages_load_nothing_from_elsewhere() -> None:
    """No template, style or script of ours names another host: the kitchen may have no internet."""
    ours = [*(ROOT / "templates").rglob("*.html"), *(ROOT / "static").glob("*.*")]
    outside = re.compile(r"""(?:src|href|url|@import|fetch)[=(\s]*["']?\s*(?:https?:)?//""")
    assert ours
    assert [_named(each) for each in ours if outside.search(each.read_text("utf-8"))] == []


def _locked() -> dict[str, tuple[str, str]]:
    text = (ROOT / "requirements.lock").read_text("utf-8")
    found = re.findall(r"^([a-z0-9][\w.-]*)==(\S+)([^\n]*(?:\n    --hash=[^\n]*)*)", text, re.M)
    return {name: (version, hashes) for name, version, hashes in found}


def test_the_lock_pins_everything_by_hash_and_names_no_host() -> None:
    """It installs from whichever index a machine uses, and only what was looked at."""
    text = (ROOT / "requirements.lock").read_text("utf-8")
    assert not re.search(r"https?://|file:|@ |--(?:extra-)?index-url|--find-links|(?<!\w)/\w", text)
    locked = _locked()
    assert len(locked) > 50
    assert [name for name, (_, hashes) in locked.items() if "--hash=sha256:" not in hashes] == []


def _depended_on() -> set[str]:
    text = (ROOT / "pyproject.toml").read_text("utf-8")
    named = set(re.findall(r'^\s*"([a-z0-9-]+)[^"]*",$', text.split("[project.scripts]")[0], re.M))
    assert len(named) > 20
    return named | {"uv"}


def test_the_lock_holds_what_the_project_names() -> None:
    """A dependency that was added without locking anew would be missing on a fresh machine."""
    assert _depended_on() - set(_locked()) == set()


def test_every_dependency_has_its_reason() -> None:
    """In the table of the developers' page, which names nothing that is gone."""
    table = (ROOT / "DEVELOPERS.md").read_text("utf-8").split("## Why each dependency")[1]
    rows = re.findall(r"^\| ([a-z][a-z0-9, -]+) \| .", table, re.M)
    told = {name for row in rows if row != "dependency" for name in row.split(", ")}
    assert told == _depended_on()


@pytest.mark.parametrize(
    ("name", "least"), [("weasyprint", (70, 0)), ("ortools", (9, 15)), ("htmx.org", (4, 0, 1))]
)
def test_three_things_are_locked_for_a_reason(name: str, least: tuple[int, ...]) -> None:
    """Security releases, a solver whose answers must repeat, a script whose habits changed."""
    if name == "htmx.org":
        (file,) = (ROOT / "static" / "vendor").rglob("htmx.min.js")
        assert "4.0.1" in file.read_text("utf-8")
        return
    version = tuple(int(part) for part in _locked()[name][0].split(".")[: len(least)])
    assert version >= least


def test_an_installed_package_has_every_file_that_the_program_reads() -> None:
    """A wheel leaves out what is no Python unless it is named; `./start` would never notice."""
    setuptools = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["setuptools"]
    folders = setuptools["packages"]["find"]["include"]
    named = setuptools["package-data"]["*"]
    read = [file for top in ("static", "templates", "seed_demo") for file in _data_in(ROOT / top)]
    assert len(read) > 50
    assert [_named(file) for file in read if not any(map(file.match, named))] == []
    tops = {"app", "migrations"} | {file.relative_to(ROOT).parts[0] for file in read}
    assert tops <= {folder.rstrip("*") for folder in folders}


def _data_in(folder: Path) -> Iterator[Path]:
    for file in folder.rglob("*"):
        if file.is_file() and file.suffix not in {".py", ".pyc", ".md", ".png"}:
            yield file


def test_the_scripts_of_the_readme_are_there_and_run() -> None:
    """The two commands of the README, and what a machine calls, can be executed."""
    for script in ("start", "check", ".ci/run"):
        file = ROOT / script
        assert file.stat().st_mode & 0o111
        assert subprocess.run(["bash", "-n", file], check=False).returncode == 0
    assert "check" in (ROOT / ".ci" / "run").read_text("utf-8")


def test_the_readme_shows_pictures_that_exist() -> None:
    """The pictures of the README were made and stayed."""
    text = (ROOT / "README.md").read_text("utf-8")
    shown = re.findall(r"seed_demo/pictures/[\w-]+\.png", text)
    assert len(set(shown)) == 4
    assert [each for each in shown if not (ROOT / each).is_file()] == []
    assert text.count("licensed people decide") == 1
