"""People shared out among duties."""

from app.planning.crew import Key
from app.planning.day import Cook, Phase
from app.planning.sharing import Shared, meeting, shared

ADA, BO = Cook(id="ada", shifts=()), Cook(id="bo", shifts=(), skills=("knead",))


def _duty(
    batch: str,
    starts: int,
    ends: int,
    *,
    number: int = 0,
    hands: int = 1,
    skill: str | None = None,
    crew: frozenset[str] = frozenset(),
    weight: int = 1,
) -> Shared:
    phase = Phase(lasts_min=ends - starts, hands=hands, skill=skill)
    return Shared((batch, number), starts, ends, phase, crew, weight)


def _crews(*duties: Shared, cooks: tuple[Cook, ...] = (ADA, BO)) -> dict[str, str]:
    crews = shared(duties, {duty.key: cooks for duty in duties})
    return {key[0]: " ".join(sorted(crew)) for key, crew in crews.items()}


def test_what_weighs_less_is_left() -> None:
    """One cook, two at once."""
    duties = _duty("a", 0, 10, weight=2), _duty("b", 5, 15, weight=3)
    assert _crews(*duties, cooks=(ADA,)) == {"b": "ada"}


def test_a_phase_may_begin_when_another_ends() -> None:
    assert _crews(_duty("a", 0, 10), _duty("b", 10, 15), cooks=(ADA,)) == {"a": "ada", "b": "ada"}


def test_one_of_those_who_do_a_phase_has_the_skill() -> None:
    """And a batch is left with nobody if none has."""
    assert _crews(_duty("a", 0, 10, skill="knead")) == {"a": "bo"}
    assert _crews(_duty("a", 0, 10, skill="knead", hands=2)) == {"a": "ada bo"}
    assert _crews(_duty("a", 0, 10, skill="knead"), cooks=(ADA,)) == {}


def test_people_do_what_they_were_to_do() -> None:
    duties = [
        _duty(batch, 0, 10, crew=frozenset({cook})) for batch, cook in (("a", "bo"), ("b", "ada"))
    ]
    assert _crews(*duties) == {"a": "bo", "b": "ada"}


def test_a_batch_keeps_all_of_its_phases_or_none() -> None:
    """The second phase finds nobody, so the first is left to others."""
    first, second = _duty("a", 0, 10, weight=9), _duty("a", 10, 20, number=1, hands=3, weight=9)
    assert _crews(first, second, _duty("b", 5, 15)).keys() == {"b"}


def test_only_those_that_meet_in_a_chain_count() -> None:
    """Others need not change for them."""
    duties = [_duty("a", 0, 10), _duty("b", 9, 20), _duty("c", 20, 30), _duty("d", 29, 40)]

    def of(*wanted: Key) -> str:
        return "".join(duty.key[0] for duty in meeting(duties, wanted))

    assert of(("a", 0)) == of(("b", 0)) == "ab"
    assert of(("d", 0)) == "cd"
    assert of() == ""
