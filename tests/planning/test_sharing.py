"""People shared out among tasks."""

from app.planning.day import Cook
from app.planning.sharing import Key, Task, meeting, shared

ADA, BO = Cook(id="ada", shifts=()), Cook(id="bo", shifts=(), skills=("knead",))


def _task(batch: str, starts: int, ends: int, *, weight: int = 1, **says: object) -> Task:
    facts = {"hands": 1, "skill": None, "crew": frozenset[str](), **says}
    return Task((batch, 0), starts, ends, weight=weight, **facts)  # type: ignore[arg-type]


def _crews(*tasks: Task, cooks: tuple[Cook, ...] = (ADA, BO)) -> dict[str, str]:
    crews = shared(tasks, {task.key: cooks for task in tasks})
    return {key[0]: " ".join(sorted(crew)) for key, crew in crews.items()}


def test_what_weighs_less_is_left() -> None:
    """One cook, two at once."""
    tasks = _task("a", 0, 10, weight=2), _task("b", 5, 15, weight=3)
    assert _crews(*tasks, cooks=(ADA,)) == {"b": "ada"}


def test_a_phase_may_begin_when_another_ends() -> None:
    assert _crews(_task("a", 0, 10), _task("b", 10, 15), cooks=(ADA,)) == {"a": "ada", "b": "ada"}


def test_one_of_those_who_do_a_phase_has_the_skill() -> None:
    """And a batch is left with nobody if none has."""
    assert _crews(_task("a", 0, 10, skill="knead")) == {"a": "bo"}
    assert _crews(_task("a", 0, 10, skill="knead", hands=2)) == {"a": "ada bo"}
    assert _crews(_task("a", 0, 10, skill="knead"), cooks=(ADA,)) == {}


def test_people_do_what_they_were_to_do() -> None:
    tasks = [
        _task(batch, 0, 10, crew=frozenset({cook})) for batch, cook in (("a", "bo"), ("b", "ada"))
    ]
    assert _crews(*tasks) == {"a": "bo", "b": "ada"}


def test_a_batch_keeps_all_of_its_phases_or_none() -> None:
    """The second phase finds nobody, so the first is left to others."""
    first, second = _task("a", 0, 10, weight=9), Task(("a", 1), 10, 20, 3, None, frozenset(), 9)
    assert _crews(first, second, _task("b", 5, 15)).keys() == {"b"}


def test_only_those_that_meet_in_a_chain_count() -> None:
    """Others need not change for them."""
    tasks = [_task("a", 0, 10), _task("b", 9, 20), _task("c", 20, 30), _task("d", 29, 40)]

    def of(*wanted: Key) -> str:
        return "".join(task.key[0] for task in meeting(tasks, wanted))

    assert of(("a", 0)) == of(("b", 0)) == "ab"
    assert of(("d", 0)) == "cd"
    assert of() == ""
