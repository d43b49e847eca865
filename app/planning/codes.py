"""Letters for each demonstration: tags and screens tell the dishes apart by them."""

from app.planning.day import Day, Demonstration

CODE_LETTERS = 2


def codes_of(day: Day) -> dict[str, str]:
    """Return a letter or two for each demonstration, all different."""
    codes: dict[str, str] = {}
    for demonstration in day.demonstrations:
        codes[demonstration.id] = demonstration.code or _free_code(demonstration, codes)
    return codes


def _free_code(demonstration: Demonstration, taken: dict[str, str]) -> str:
    letters = "".join(each for each in demonstration.id.upper() if each.isalnum())
    tries = [letters[:CODE_LETTERS], *(letters[0] + each for each in letters[1:])]
    tries += [letters[0] + each for each in "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"]
    return next((each for each in tries if each not in taken.values()), letters)
