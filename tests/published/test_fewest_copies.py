"""The fewest copies against a maximum matching, on random chains.

Source: Fulkerson 1956, Note on Dilworth's decomposition theorem (the fewest paths that cover a
partial order are its points less a maximum matching); the matching is networkx's. What a beat
leaves may serve one later need; what no leaving serves is made fresh.
"""

import random
from datetime import datetime, timedelta
from typing import Any

import networkx as nx
import pytest

from app.planning.audit import audit
from app.planning.reading import read_day
from app.planning.solve import solve

MARGIN_MIN, RETURN_MIN, BEAT_MIN, STAGES = 10, 5, 2, 3
PREP = datetime(2027, 3, 4, 6)


def chain_day(starts: list[int], keeps: list[int]) -> dict[str, Any]:
    """Return a day on which each beat takes a stage and leaves the next one."""
    stages = [
        {"id": f"s{i}", "keeps_min": keeps_min,
         "ways": [{"id": "w", "batch_max": 99, "phases": [{"lasts_min": 1}]}]}
        for i, keeps_min in enumerate(keeps)
    ]  # fmt: skip
    beats = [
        {"id": f"b{i}", "starts_s": 0, "lasts_s": 60 * BEAT_MIN, "needs": [{"stage": f"s{i}"}],
         "leaves": [{"stage": f"s{i + 1}"}] if i + 1 < STAGES else []}
        for i in range(STAGES)
    ]  # fmt: skip
    runs = [
        {"id": f"r{n}", "demonstration": "dish", "kind": "take", "beats": [f"b{n % STAGES}"],
         "starts": (PREP + timedelta(minutes=minute)).strftime("%Y-%m-%dT%H:%M")}
        for n, minute in enumerate(starts)
    ]  # fmt: skip
    return {
        "format": "day/1", "title": "chain", "timezone": "UTC", "prep_from": "2027-03-04T05:00",
        "policy": {"ready_margin_min": MARGIN_MIN, "return_min": RETURN_MIN},
        "demonstrations": [{"id": "dish", "title": "dish", "stages": stages, "beats": beats}],
        "runs": runs,
    }  # fmt: skip


def fewest(starts: list[int], keeps: list[int]) -> int:
    """Return needs less a maximum matching of leavings to later needs of their stage."""
    graph = nx.Graph()
    leavings = [("left", n) for n in range(len(starts)) if n % STAGES + 1 < STAGES]
    graph.add_nodes_from(leavings)
    graph.add_nodes_from(("need", n) for n in range(len(starts)))
    for _, n in leavings:
        staged = starts[n] + BEAT_MIN
        for m, start in enumerate(starts):
            stage = m % STAGES
            back_in_time = staged + RETURN_MIN <= start - MARGIN_MIN
            if stage == n % STAGES + 1 and back_in_time and start - staged <= keeps[stage]:
                graph.add_edge(("left", n), ("need", m))
    matching = nx.bipartite.maximum_matching(graph, top_nodes=leavings)
    return len(starts) - len(matching) // 2


@pytest.mark.parametrize("seed", range(12))
def test_the_fewest_copies_are_needs_less_a_maximum_matching(seed: int) -> None:
    """Tests chains of three stages over up to fourteen runs at random minutes."""
    roll = random.Random(seed)
    starts = sorted(roll.sample(range(60, 400), roll.randint(6, 14)))
    roll.shuffle(starts)
    keeps = [roll.choice((30, 60, 90, 150, 240)) for _ in range(STAGES)]
    day = read_day(chain_day(starts, keeps))
    plan = solve(day)
    assert plan.objective.unmet == 0
    assert plan.objective.cost == plan.bounds.cost == fewest(starts, keeps)
    assert audit(day, plan) == []
