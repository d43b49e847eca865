"""What stands in the way of a plan and what would help, as a screen shows it."""

import hashlib
import json
from dataclasses import dataclass

from app.planning.blockers.facts import Fact
from app.planning.blockers.words import Wording, of_more, together
from app.planning.plan import Blocker, Plan, Remedy
from app.planning.remedies.price import dearer

KITCHENS_OWN = ("/kitchen/equipment/", "/kitchen/crew/", "/kitchen/shelves/")
PRODUCTIONS_OWN = ("/shifts", "/closed")


@dataclass(frozen=True)
class Clash:
    """Facts that cannot hold together, under a sentence that says so."""

    says: str
    facts: tuple[str, ...]


@dataclass(frozen=True)
class Offered:
    """A remedy: its name in a form, what it does, what it costs, whether other productions too
    get the kitchen that it makes."""

    key: str
    words: str
    price: str
    is_for_all: bool


@dataclass(frozen=True)
class Advice:
    """All that is told beside a plan that lacks something; `more` says that not all is known."""

    clashes: tuple[Clash, ...]
    more: str | None
    remedies: tuple[Offered, ...]


def advice_on(plan: Plan, wording: Wording | None = None) -> Advice | None:
    """Return what is told beside a plan; None where it has nothing to tell.

    Parameters
    ----------
    plan
        A plan of the day as it stands.
    wording
        How the house says what has degrees in it, if otherwise than the plan does.
    """
    more = of_more(plan.warnings)
    if not plan.blockers and not plan.remedies and more is None:
        return None
    return Advice(
        more=more,
        clashes=tuple(_clash(blocker, wording) for blocker in plan.blockers),
        remedies=tuple(
            Offered(key_of(each), each.words, dearer(plan, each), _is_for_all(each))
            for each in plan.remedies
        ),
    )


def key_of(remedy: Remedy) -> str:
    """Return a name for what a remedy changes: the same change has the same."""
    said = json.dumps(remedy.change, sort_keys=True)
    return hashlib.sha256(said.encode()).hexdigest()[:20]


def _clash(blocker: Blocker, wording: Wording | None) -> Clash:
    said = "; ".join(together(blocker.facts))
    facts = [
        fact.model_copy(update={"words": wording.fact(Fact("way", fact.ids))})
        if wording and fact.kind == "way"
        else fact
        for fact in blocker.facts
    ]
    return Clash(blocker.words.removesuffix(f": {said}."), tuple(together(facts)))


def _is_for_all(remedy: Remedy) -> bool:
    """Tell whether the kitchen itself changes; shifts and closed spans are a production's own."""
    paths = [str(operation["path"]) for operation in remedy.change]
    return any(
        path.startswith(KITCHENS_OWN) and not any(own in path for own in PRODUCTIONS_OWN)
        for path in paths
    )
