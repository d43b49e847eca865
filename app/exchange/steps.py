"""The steps of a recipe as phases: how long, by hand or by itself, in what, until which stage."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from app.exchange.times_in_words import Told, degrees_c_in, times_in
from app.planning.day import Phase, PhaseEquipment
from app.planning.kitchen import Zone

HANDS_ON_MIN = 5
LONGEST_DOES = 500
# What happens by itself, the stage that it ends in, where it stands meanwhile (common practice).
_WAITS: tuple[tuple[str, str, Zone | None], ...] = (
    (r"freez\w*|frozen", "frozen", "frozen"),
    (r"chill\w*|refrigerat\w*|fridge", "chilled", "chill"),
    (r"marinat\w*", "marinated", "chill"),
    (r"brin(?:e|ing)", "brined", "chill"),
    (r"bak(?:e|es|ing)", "baked", None),
    (r"roast\w*", "roasted", None),
    (r"brais\w*|stew\w*", "braised", None),
    (r"simmer\w*|boil(?:s|ing)?|poach\w*", "simmered", None),
    (r"steam(?:s|ing)?", "steamed", None),
    (r"cool(?!,?(?: \w+)? (?:place|room|spot)\b)\w*", "cooled", "ambient"),
    (r"prov(?:e|es|ing)|proof\w*", "proved", "ambient"),
    (r"ris(?:e|es|ing)|ferment\w*|doubled", "risen", "ambient"),
    (r"soak\w*|steep\w*|infus\w*", "soaked", "ambient"),
    (r"dry|drying", "dried", "ambient"),
    (
        r"rest(?:s|ing)?|stand(?:s|ing)?(?! mixer)|sit|sitting|set aside|leave|set",
        "rested",
        "ambient",
    ),
)
_IN = (("oven", r"bak(?:e|es|ing)|roast\w*|oven"), ("hob", r"simmer\w*|boil\w*|poach\w*|braise\w*|"
       r"stew\w*|fr(?:y|ies|ying)|saut\w*|sear\w*|melt\w*|saucepan|frying pan|wok"),
       ("mixer", r"(?:stand |electric |in (?:a|the) )mixer|dough hook"))  # fmt: skip
_WAIT_PATTERNS = [(re.compile(rf"\b(?:{word})\b", re.I), end, zone) for word, end, zone in _WAITS]
_IN_PATTERNS = [(kind, re.compile(rf"\b(?:{word})\b", re.I)) for kind, word in _IN]
_PREHEAT = re.compile(r"\b(?:pre-?heat|heat (?:the |your )?oven)\b", re.IGNORECASE)
_THEN = re.compile(r"^then\s+", re.IGNORECASE)
_NUMBERED = re.compile(r"^\W*(?:step\s+)?\d{1,2}\s?[.):]\s+", re.IGNORECASE)
_SENTENCES = re.compile(r"(?<=[.!?;])\s+(?=\S)|,?(?:\s+and)?\s+(?=then\b)|\n", re.IGNORECASE)
# Words that bid somebody do something: work by hand, and what else begins a part of a sentence.
_WORK = (r"add|beat|blend|braid|chop|combine|cream|cut|divide|fill|fold|form|grate|grind|knead|mix|"
       r"laminate|mash|peel|pipe|plait|press|pur[ée]e|rub|roll|scale|shape|sieve|sift|slice|"
       r"spread|stir|strain|tie|weigh|whip|whisk|work")  # fmt: skip
_BID = (rf"{_WORK}|allow|bake|boil|braise|bring|brush|chill|cook|cool|cover|dry|drain|ferment|"
       r"freeze|fry|glaze|heat|infuse|keep|leave|let|marinate|melt|place|poach|pour|proof|prove|"
       r"put|reduce|refrigerate|remove|rest|return|rise|roast|saut[ée]|sear|set|simmer|soak|stand|"
       r"steam|steep|stew|sprinkle|toss|transfer|turn|wrap")  # fmt: skip
_WORKS = re.compile(rf"(?:{_WORK})\b", re.IGNORECASE)
_AND = rf"(?:,\s+(?:and\s+|but\s+)?|\s+and\s+)(?=(?:{_BID})\b)"
_NEXT = re.compile(rf"{_AND}|\s+before\s+(?=\w+ing\b)", re.IGNORECASE)


@dataclass(frozen=True)
class Step:
    """One phase of a step: `ends_in` is the stage that its waiting leads to, or nothing."""

    phase: Phase
    ends_in: str
    is_timed: bool
    remarks: tuple[str, ...] = ()
    is_heating: bool = False

    @property
    def setting(self) -> int | None:
        """Return how hot the oven is, in °C."""
        return next((held.setting for held in self.phase.equipment), None)

    def heated(self, setting: int) -> "Step":
        """Return the step with an oven that is so hot, in °C."""
        held = tuple(
            each.model_copy(update={"setting": setting}) if each.kind == "oven" else each
            for each in self.phase.equipment
        )
        return replace(self, phase=self.phase.model_copy(update={"equipment": held}))

    @property
    def is_hot_without_setting(self) -> bool:
        """Tell whether an oven is used and nobody said how hot."""
        return self.setting is None and any(held.kind == "oven" for held in self.phase.equipment)


def steps_in(text: str) -> Iterator[Step]:
    """Yield the phases that one step of a recipe tells; heating the oven is told apart.

    What is done by hand before a wait is a phase of its own, though nobody says how long it takes.
    """
    gathered: list[str] = []
    for sentence in _sentences(_NUMBERED.sub("", text)):
        if _PREHEAT.search(sentence) and not times_in(sentence):
            held = PhaseEquipment(kind="oven", setting=degrees_c_in(sentence))
            phase = Phase(does=sentence[:LONGEST_DOES], equipment=(held,))
            yield Step(phase, "", is_timed=True, is_heating=True)
            continue
        if times_in(sentence) and gathered and _wait(sentence)[0]:
            yield _step(" ".join(gathered))
            gathered = []
        gathered.append(sentence)
        if times_in(sentence):
            yield _step(" ".join(gathered))
            gathered = []
    if gathered:
        yield _step(" ".join(gathered))


def _sentences(text: str) -> Iterator[str]:
    """Yield what a step tells, a part for each length of time that it bids somebody keep to.

    Work by hand that comes before a wait is a part of its own as well.
    """
    for sentence in filter(None, map(str.strip, _SENTENCES.split(text))):
        began = 0
        for cut in _NEXT.finditer(sentence, 0, LONGEST_DOES):
            done, ahead = sentence[began : cut.start()], sentence[cut.end() :][:LONGEST_DOES]
            is_work = _WORKS.match(done) and not _WORKS.match(ahead) and not _wait(done)[0]
            if (times_in(done) or (is_work and _wait(ahead)[0])) and times_in(ahead):
                yield done
                began = cut.end()
        yield sentence[began:]


def _step(words: str) -> Step:
    words = _THEN.sub("", words)
    words = words[:1].upper() + words[1:]
    times = times_in(words)
    told = max(times, key=lambda each: each.minutes, default=None)
    ends_in, zone = _wait(words) if told else ("", None)
    held = _equipment(words)
    phase = Phase(
        lasts_min=told.minutes if told else HANDS_ON_MIN,
        does=words[:LONGEST_DOES],
        hands=0 if ends_in else 1,
        equipment=held,
        zone=None if held else zone,
    )
    return Step(phase, ends_in, told is not None, tuple(_remarks(words, times, told)))


def _wait(words: str) -> tuple[str, Zone | None]:
    """Return the stage that the last wait of a step leads to, and the zone that it stands in."""
    found = [
        (match.start(), -rank, end, zone)
        for rank, (pattern, end, zone) in enumerate(_WAIT_PATTERNS)
        for match in pattern.finditer(words)
    ]
    if not found:
        return "", None
    _, _, end, zone = max(found, key=lambda each: each[:2])
    return end, zone


def _equipment(words: str) -> tuple[PhaseEquipment, ...]:
    for kind, pattern in _IN_PATTERNS:
        if pattern.search(words):
            setting = degrees_c_in(words) if kind == "oven" else None
            return (PhaseEquipment(kind=kind, per_batch=1, setting=setting),)
    return ()


def _remarks(words: str, times: list[Told], told: Told | None) -> Iterator[str]:
    if told is not None and told.is_guess:
        yield f"“{told.words}” was taken for {told.minutes // 60} hours."
    if told is not None and len(times) > 1:
        also = ", ".join(each.words for each in times if each is not told)
        yield f"{told.words} was taken for its length; it also tells {also}."
    if len(words) > LONGEST_DOES:
        yield f"Its words were cut at {LONGEST_DOES} characters."
