"""What is eaten on set must be fit to be eaten."""

from collections.abc import Iterator

from app.planning.refusals.fault import Found, shown
from app.planning.refusals.outline import Outline, Stage
from app.planning.refusals.sketch import Sketch


def not_ready_to_eat(day: Outline) -> Iterator[Found]:
    """Find tastings of a stage that is not ready to eat."""
    for need, stage in _tastings(day):
        if stage.value("ready_to_eat") is False:
            words = f"{shown(stage.text('id'))} is eaten here and is not ready_to_eat"
            yield Found(need.at("tasting"), f"{words}; write false here or true there")


def no_time_limit(day: Outline) -> Iterator[Found]:
    """Find tastings of a stage that needs temperature control and says not for how long."""
    for need, stage in _tastings(day):
        if stage.value("needs_temperature_control") is True and not stage.given("safety_min"):
            words = f"{shown(stage.text('id'))} is eaten here, needs_temperature_control"
            yield Found(need.at("tasting"), f"{words} and gives no safety_min; add it there")


def _tastings(day: Outline) -> Iterator[tuple[Sketch, Stage]]:
    for demonstration, beat in day.all_beats:
        for need in beat.parts("needs"):
            stage = day.source(demonstration, need)
            if need.value("tasting") is True and stage is not None:
                yield need, stage


RULES = (not_ready_to_eat, no_time_limit)
