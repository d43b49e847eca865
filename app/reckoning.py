"""The command `stagelarder sum`: a kitchen sum, worked out as on its screen."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

from app.arguments import DONE, FAILED, Ended, Parser
from app.documents import loaded

if TYPE_CHECKING:
    from app.food.asking import Answer, Sum


def add_sum(command: Parser) -> None:
    """Add what the command is given."""
    command.add_argument("key", nargs="?", metavar="SUM", help="which; none: list them all")
    command.add_argument(
        "said", nargs="*", metavar="FIELD=VALUE", help="what is known; lines end with a ;"
    )
    command.add_argument(
        "--larder", type=Path, metavar="FILE", help="the house's own weights (JSON, larder/1)"
    )
    command.epilog = (
        "For example: stagelarder sum weigh amount=1.5 unit=cup to=g of='bread flour'. "
        "Fields that are not said are as on the screen."
    )


def work_out(given: Any) -> int:
    """Work a sum out and print it; Ended with a line for each field that can't be used."""
    from app.exchange.larderfile import load_larder
    from app.food.sums import sums

    own = () if given.larder is None else loaded(load_larder, given.larder).weights
    known = sums(own)
    if given.key is None:
        for each in known.values():
            print(f"{each.key}: {each.title}. {' '.join(_field(each))}")
        return DONE
    if given.key not in known:
        raise Ended(FAILED, f"There is no sum {given.key[:40]!r}; there are {', '.join(known)}.")
    asked = known[given.key]
    answer, faults = asked.answer(asked.first() | _said(given.said, asked))
    if answer is None:
        raise Ended(FAILED, *(f"{field}: {words}" for field, words in faults.items()))
    _tell(answer)
    return DONE


def _field(each: "Sum") -> list[str]:
    return [f"{field.name}={field.first!r}" for field in each.fields]


def _said(given: list[str], asked: "Sum") -> dict[str, str]:
    """Return the fields that somebody said; Ended if one is none of the sum's."""
    names = [each.name for each in asked.fields]
    found = {}
    for text in given:
        name, sign, value = text.partition("=")
        if not sign or name not in names:
            raise Ended(FAILED, f"{text[:60]!r} is no field; {asked.key} has {', '.join(names)}.")
        found[name] = value.replace(";", "\n")
    return found


def _tell(answer: "Answer") -> None:
    for words in answer.said:
        print(words)
    for row in (answer.heads, *answer.rows) if answer.rows else ():
        print("\t".join(row))
