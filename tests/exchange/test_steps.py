"""The steps of a recipe: what is done by hand, what happens by itself, sentence by sentence."""

import pytest

from app.exchange.steps import steps_in

HAND = ""


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Knead for 10 minutes, then let rest for 1 hour.", [(10, HAND), (60, "rested")]),
        ("Knead for 10 minutes and leave to rise for 1 hour.", [(10, HAND), (60, "risen")]),
        ("Knead 10 min, cover and let rise for 1 hour.", [(10, HAND), (60, "risen")]),
        ("After kneading for 10 minutes, let rest for 1 hour.", [(10, HAND), (60, "rested")]),
        ("Let rest 1 hour before kneading for 10 minutes.", [(60, "rested"), (10, HAND)]),
        (
            "Let the sponge stand for 15 minutes, add the flour and knead for 10 minutes.",
            [(15, "rested"), (10, HAND)],
        ),
        (
            "Knead until smooth, about 10 minutes, and let rise, covered, about 1 hour.",
            [(10, HAND), (60, "risen")],
        ),
        ("Roll out (5 minutes), chill 30 minutes, cut.", [(5, HAND), (30, "chilled")]),
        ("Bake 45 min, cool in the tin for 10 min, turn out.", [(45, "baked"), (10, "cooled")]),
        ("Shape into balls, cover and rest in a cool place for 1 h.", [(5, HAND), (60, "rested")]),
        ("Mix in the milk and simmer for 20 minutes", [(5, HAND), (20, "simmered")]),
        ("Bake for 25 minutes, turning after 10 minutes.", [(25, "baked")]),
        ("Cover and leave to rise for 1 hour.", [(60, "risen")]),
        ("Knead 10 minutes by hand or 5 minutes in a mixer.", [(10, HAND)]),
    ],
)
def test_a_sentence_of_work_and_waiting_is_a_phase_of_each(
    text: str, told: list[tuple[int, str]]
) -> None:
    """Hands are asked for as long as somebody works, and not while it waits."""
    steps = list(steps_in(text))
    assert [(step.phase.lasts_min, step.ends_in) for step in steps] == told
    assert [step.phase.hands for step in steps] == [int(end == HAND) for _, end in told]


def test_what_else_a_sentence_tells_is_quoted_without_its_full_stop() -> None:
    """A length that is no phase of its own is told in the words of the recipe."""
    (step,) = steps_in("Bake for 25 minutes, turning after 10 minutes.")
    assert step.remarks == ("25 minutes was taken for its length; it also tells 10 minutes.",)
