"""A stranger builds a demonstration, a kitchen and a rundown, and gets a plan that serves it all.

A picture of every step goes to the folder that `STAGELARDER_PICTURES` names, else to a passing one.
"""

import os
import time
from pathlib import Path
from typing import TYPE_CHECKING

from app.exchange.dayfile import load_day, load_plan
from app.planning.audit import audit
from tests.browser.hands import Hands
from tests.browser.trial import (
    BEATS,
    RUNS,
    STAGES,
    desk,
    empty_install,
    take_the_trial,
    told,
)

if TYPE_CHECKING:
    from playwright.sync_api import Browser

MINUTES, KEYS = 15, 1500


def test_a_stranger_gets_a_plan_by_keyboard_alone(browser: "Browser", tmp_path: Path) -> None:
    """Six stages, five beats, three runs: what comes out serves every need and breaks no rule."""
    pictures = Path(os.environ.get("STAGELARDER_PICTURES", tmp_path / "pictures"))
    pictures.mkdir(parents=True, exist_ok=True)
    page = desk(browser)
    hands = Hands(page, pictures)
    with empty_install(tmp_path / "served") as server:
        began = time.monotonic()
        take_the_trial(hands, server.url)
        took = told("keyboard", hands, time.monotonic() - began)
        (pictures / "counts.txt").write_text(took, "utf-8")
        files = [
            page.request.get(f"{server.url}/productions/1/{name}.json") for name in ("day", "plan")
        ]
        day, plan = load_day(files[0].body()), load_plan(files[1].body())
        pdf = page.request.get(f"{server.url}/productions/1/papers/board.pdf?size=a4").body()
    page.context.close()
    shown = day.demonstrations[0]
    assert (len(shown.stages), len(shown.beats), len(day.runs)) == (
        len(STAGES),
        len(BEATS),
        len(RUNS),
    )
    assert plan.objective.unmet == plan.objective.unbacked == 0
    assert audit(day, plan) == []
    assert pdf.startswith(b"%PDF")
    assert hands.clicks == 0
    assert hands.keys < KEYS
    assert sum(hands.seconds().values()) < MINUTES * 60
    assert len(list(pictures.glob("*.png"))) >= hands.steps
