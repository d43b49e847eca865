"""`stagelarder export`: every form from the command line, and back again."""

import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from app.arguments import DONE, FAILED, REFUSED
from app.exchange.dayfile import load_day
from app.exchange.incoming import load_any_day
from app.exchange.outgoing import FORMS, OF_A_PLAN, day_of_one, outgoing
from app.planning.canonical import canonical
from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.reading import Refused, read_day
from tests.storage.rich_day import RICH

ROOT = Path(__file__).parents[1]
DAY, PLAN = (ROOT / "tests" / "golden" / f"knots.{kind}.json" for kind in ("day", "plan"))
NOW = datetime(2027, 3, 1, tzinfo=UTC)


def _run(*arguments: str | Path) -> tuple[int, str]:
    """Run the command in a process of its own; return its status and what it complained of."""
    said = [sys.executable, "-m", "app", "export", *map(str, arguments)]
    ended = subprocess.run(said, cwd=ROOT, capture_output=True, text=True, check=False)
    return ended.returncode, ended.stderr


def test_a_day_goes_out_and_is_a_day_again(tmp_path: Path) -> None:
    """What `export` wrote is what `export` reads."""
    there, back = tmp_path / "day.xlsx", tmp_path / "back.json"
    assert _run(DAY, "-o", there) == (DONE, "")
    assert _run(there, "-o", back) == (DONE, "")
    assert back.read_bytes() == canonical(load_day(DAY.read_bytes()))


@pytest.mark.parametrize("what", sorted(FORMS))
def test_each_thing_goes_out_in_its_forms(what: str, knots_day: Day, knots_plan: Plan) -> None:
    """And in no other, with a sentence."""
    for form in ("xlsx", "csv", "json", "ics", "pdf"):
        if form in FORMS[what]:
            assert len(outgoing(what, form, knots_day, knots_plan, NOW)) > 100
            continue
        with pytest.raises(Refused, match=f"there is no .{form} of it; take"):
            outgoing(what, form, knots_day, knots_plan, NOW)
    if what in OF_A_PLAN:
        with pytest.raises(Refused, match="no plan of this day yet"):
            outgoing(what, "xlsx", knots_day, None, NOW)


@pytest.mark.parametrize(
    ("arguments", "status", "words"),
    [
        ((DAY, "--what", "count"), FAILED, "name a plan behind the day"),
        ((DAY, "--what", "demonstration"), FAILED, "say which one: knots."),
        ((DAY, PLAN, "--what", "plan"), DONE, ""),
        ((PLAN,), REFUSED, "format"),
    ],
)
def test_what_is_missing_is_told(
    tmp_path: Path, arguments: tuple[str | Path, ...], status: int, words: str
) -> None:
    """A plan, an id, a day."""
    ended, told = _run(*arguments, "-o", tmp_path / "x.csv")
    assert ended == status
    assert words in told


def test_a_breakdown_is_no_day() -> None:
    """It says where one goes instead."""
    with pytest.raises(Refused, match="no sheet is called Production"):
        load_any_day(b"Dish,Stage\nTart,baked\n", "mine.CSV")
    with pytest.raises(Refused, match="line 1, column 1"):
        load_any_day(b"Dish,Stage\nTart,baked\n", "mine.json")


def test_a_demonstration_goes_out_with_what_it_is_made_from() -> None:
    """So that it is a day of its own, which can be read again."""
    day = read_day(RICH)
    for shown in day.demonstrations:
        alone = day_of_one(day, shown.id)
        assert alone.demonstrations[-1] == shown
        assert load_any_day(canonical(alone))[0] == alone
