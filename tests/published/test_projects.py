"""Projects: the days that the bench plans are those that the golden files hold.

Source: PSPLIB, Kolisch and Sprecher 1996; j301_1 (43), j305_1 (53). What the planner does with
them is in `tests/bench/shops.py`.
"""

import json

import pytest

from app.planning.reading import read_day
from tests.live import GOLDEN
from tests.published.projects import PROJECTS, project_day


@pytest.mark.parametrize("name", PROJECTS)
@pytest.mark.parametrize(("when", "earlier"), [("at", 0), ("under", 1)])
def test_a_project_is_the_day_of_the_golden_file(name: str, when: str, earlier: int) -> None:
    """Tests the instance as data against the instance as a day."""
    golden = read_day(json.loads((GOLDEN / f"project-{name}-{when}.day.json").read_text("utf-8")))
    assert project_day(name, PROJECTS[name]["optimum"] - earlier) == golden
