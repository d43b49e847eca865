"""A row said in one line: *knead, 12 min, 1 person, mixer*; its parts may come in any order.

The first part says what it is. A part that nothing else understands belongs to that, so that no
word is lost: *fold, wrap and label, 4 min*.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

from app.planning.day import (
    Beat,
    Fact,
    Input,
    Leaving,
    Need,
    Phase,
    PhaseEquipment,
    Stage,
    Way,
)
from app.planning.ids import id_from
from app.web.lengths import SAID, Length
from app.web.typed import Degrees, NotUnderstood, quoted
from app.web.words import listed

T = TypeVar("T")
ZONES = ("ambient", "chill", "frozen", "hot", "proof")
# Common practice: what most kitchens have, so that a line is understood before the kitchen is made.
USUAL_KINDS = ("oven", "mixer", "hob", "fryer", "grill", "steamer", "blender")
NUMBERS = {"one": 1, "a": 1, "two": 2, "three": 3, "four": 4}
ZONES_SAID = {
    "in the fridge": "chill",
    "in the freezer": "frozen",
    "in the proofer": "proof",
    "at room temperature": "ambient",
}
_PEOPLE = re.compile(r"(\d{1,2}|one|two|three|four|a) (?:person|people|hands?|cooks?)", re.I)
_AT_ONCE = re.compile(
    r"(?:up to |at most )?(\d{1,4})(?: copies)? (?:at once|at a time|a batch|per batch)", re.I
)
_EACH = re.compile(r"(?:\+|and|plus)?\s*(.+?) (?:each|a copy|for each copy)", re.I)
_BACKUPS = re.compile(r"(?:and )?(\d{1,3}|one|two|three|a) backups?", re.I)
_MORE = re.compile(r"(?:needs|uses|leaves|from|keeps)\s|\d", re.I)
_OF_HOURS = re.compile(r"\d|(?:works|from|until|till)\s", re.I)
_COUNTED = re.compile(r"(?:(\d{1,4}|one|two|three|four|an?)\s+)?(?:the\s+)?(.+)")
# A part ends at a comma, and where one that says more begins without: *dough keeps 2 days*.
_ENDS = re.compile(
    r"\s*(?:,(?!\d)|;)\s*|\s+(?=(?:keeps?|needs|leaves)\s)|"
    r"\s+and\s+(?=(?:\d{1,3}|one|two|three|a) backups?\b)",
    re.I,
)
_KEEPS = re.compile(r"^keeps? (?:for )?", re.I)
_NUMBERED = re.compile(r"^\s*(?:\d{1,2}[.)]|[-–•*])\s+")
_THEN = re.compile(r"(.+?)\s+((?:in|at|on|with|by) .+)", re.I)


@dataclass
class Line:
    """The parts of a line; what is taken out of it leaves the rest as its name.

    `joints` are the words before each part: a comma, or what stands there in its place.
    """

    text: str
    parts: list[str] = field(init=False)
    joints: list[str] = field(init=False)

    def __post_init__(self) -> None:
        self.parts, self.joints = [], []
        self.text = _NUMBERED.sub("", self.text, count=1)
        joint, at = "", 0
        for end in (*_ENDS.finditer(self.text), None):
            part = self.text[at : end.start() if end else None]
            for each in _two(" ".join(part.split())):
                self.parts.append(each)
                self.joints.append(joint)
                joint = " "
            if end is not None:
                at, said = end.end(), end[0].strip()
                joint = ", " if said in (",", ";") else " and " if said else " "

    @property
    def name(self) -> str:
        """Return what was not taken."""
        joints = ["", *self.joints[1:]]
        return "".join(joint + part for joint, part in zip(joints, self.parts, strict=False))

    def take(self, read: Callable[[str], T | None]) -> T | None:
        """Take the first part after the name that can be read, and return what it says."""
        for at, part in enumerate(self.parts[1:], 1):
            found = read(part)
            if found is not None:
                del self.parts[at], self.joints[at]
                return found
        return None


def _two(part: str) -> list[str]:
    """Return the parts of *bake 40 min in the oven*: what follows a length is one of its own."""
    found = _THEN.fullmatch(part)
    if found is not None and _ends_with_length(found[1]):
        return [found[1], found[2]]
    return [part] if part else []


def _ends_with_length(part: str) -> bool:
    return _length(part, 60) is not None or _ending(part)[1] is not None


def _zone(part: str) -> str | None:
    said = part.lower()
    return said if said in ZONES else ZONES_SAID.get(said)


def stage_of(text: str, above: Sequence[str], known: dict[str, str], like: Stage) -> Stage:
    """Return a stage: *Mixed, from weighed, keeps 20 min, chill*.

    What the line does not say is as in `like`; without *from* it is made from the last of `above`.
    `known` are the stages there are, by id.
    """
    line = Line(text)
    keeps_min = line.take(lambda part: _length(_KEEPS.sub("", part), 60))
    zone = line.take(_zone)
    taken = line.take(lambda part: _among(part, "from", known))
    source = taken or ((1, above[-1]) if above else None)
    return like.model_copy(
        update={
            "id": id_from(line.name, otherwise="stage"),
            "name": line.name or None,
            "keeps_min": like.keeps_min if keeps_min is None else keeps_min,
            "zone": zone or like.zone,
            "takes": (Input(stage=source[1], count=source[0]),) if source else (),
        }
    )


def way_of(text: str, kinds: Sequence[str]) -> Way:
    """Return a way with its first step where the line says how long that lasts, else its name."""
    line = Line(text)
    most = line.take(_at_once)
    step = step_of(line.name, kinds)
    if not (step.lasts_min or step.per_copy_min or step.per_copy_s):
        return Way(id=id_from(text, otherwise="way"), name=text or None, phases=())
    by = step.equipment[0].kind if step.equipment else "hand" if step.hands else "standing"
    return Way(id=id_from(by), batch_max=most or 1, phases=(step,))


def step_of(text: str, kinds: Sequence[str]) -> Phase:
    """Return a step: *knead, 12 min, 1 person, mixer*, or *bake, 20 min, oven 190*."""
    line = Line(text)
    each_s = line.take(_each_s)
    lasts_min = line.take(lambda part: _length(part, 60))
    if lasts_min is None and line.parts:
        line.parts[0], lasts_min = _ending(line.parts[0])
    hands = line.take(lambda part: _counted(_PEOPLE, part) or (1 if part == "by hand" else None))
    use = line.take(lambda part: _use(part, kinds))
    zone = line.take(_zone)
    minutes, seconds = divmod(each_s or 0, 60)
    return Phase.model_validate(
        {
            "does": line.name,
            "lasts_min": lasts_min or 0,
            "per_copy_min": minutes,
            "per_copy_s": seconds,
            "hands": hands or 0,
            "equipment": (use,) if use else (),
            "zone": zone,
        }
    )


def beat_of(text: str, known: dict[str, str], starts_s: int, lasts_s: int) -> Beat:
    """Return a beat: *Mix, 2 min, needs weighed, 1 backup, leaves mixed*."""
    line = Line(text)
    length_s = line.take(lambda part: _length(part, 1))
    backups = line.take(lambda part: _counted(_BACKUPS, part))
    needs = _all(line, "needs", known) + _all(line, "uses", known)
    leaves = _all(line, "leaves", known)
    return Beat(
        id=id_from(line.name, otherwise="beat"),
        name=line.name or None,
        starts_s=starts_s,
        lasts_s=length_s or lasts_s,
        needs=tuple(
            Need(stage=stage, count=count, backups=backups or 0 if stage == needs[-1][1] else 0)
            for count, stage in needs
        ),
        leaves=tuple(Leaving(stage=stage, count=count) for count, stage in leaves),
    )


def names_source(text: str) -> bool:
    """Return whether the line of a stage says what it is made from."""
    return any(part.lower().startswith("from ") for part in Line(text).parts[1:])


def not_understood(fact: Fact) -> str:
    """Return a sentence where a part of a line that looks like more than a name was not read."""
    step = fact.phases[0] if isinstance(fact, Way) and fact.phases else fact
    said = str(getattr(step, "does", None) or getattr(step, "name", None) or "")
    left = [quoted(part) for part in Line(said).parts[1:] if _MORE.match(part)]
    if left:
        return f"Not understood, so it stands in the name: {listed(left)}."
    hours = [quoted(skill) for skill in getattr(fact, "skills", ()) if _OF_HOURS.match(skill)]
    return f"Not understood, so it stands among the skills: {listed(hours)}." if hours else ""


def _all(line: Line, verb: str, known: dict[str, str]) -> list[tuple[int, str]]:
    found: dict[str, int] = {}
    while (each := line.take(lambda part: _among(part, verb, known))) is not None:
        found.setdefault(each[1], each[0])
    return [(count, stage) for stage, count in found.items()]


def _among(part: str, verb: str, known: dict[str, str]) -> tuple[int, str] | None:
    """Return how many of which stage *needs 2 weighed* names."""
    said, _, rest = part.partition(" ")
    found = _COUNTED.fullmatch(rest) if said.lower() == verb else None
    if found is None:
        return None
    said = (found[1] or "one").lower()
    count, wanted = int(said) if said.isdigit() else NUMBERS.get(said, 1), found[2].lower()
    keys = [key for key, name in known.items() if wanted in (name.lower(), key)]
    begun = [key for key, name in known.items() if name.lower().startswith(f"{wanted} ")]
    if not keys and len(begun) == 1:
        keys = begun
    return (count, keys[0]) if keys and count else None


def _length(part: str, unit_s: int) -> int | None:
    """Return a length of time that names its unit; a bare number may mean anything."""
    if (
        not re.search(rf"\d|half|\b(?:an?|{'|'.join(SAID)})\b", part)
        or part.replace(".", "").isdigit()
    ):
        return None
    try:
        return Length(1, unit_s=unit_s).understand(part)
    except NotUnderstood:
        return None


def _ending(part: str) -> tuple[str, int | None]:
    """Return what *let rise 1 h 20* says without its length, and the length."""
    words = part.split()
    for at in range(len(words)):
        length = _length(" ".join(words[at:]), 60) if _is_number(words[at]) else None
        if length is not None:
            return re.sub(r"\s+for$", "", " ".join(words[:at])), length
    return part, None


def _is_number(word: str) -> bool:
    return word[0].isdigit() or word.lower() in SAID


def _each_s(part: str) -> int | None:
    found = _EACH.fullmatch(part)
    return _length(found[1], 1) if found else None


def _at_once(part: str) -> int | None:
    found = _AT_ONCE.fullmatch(part)
    return int(found[1]) or None if found else None


def _counted(pattern: re.Pattern[str], part: str) -> int | None:
    found = pattern.fullmatch(part)
    return None if found is None else NUMBERS.get(found[1].lower()) or int(found[1])


def _use(part: str, kinds: Sequence[str]) -> PhaseEquipment | None:
    """Return the equipment of *oven*, *oven at 190 °C*; of known kinds only."""
    plain = re.sub(r"^(?:in |with )?(?:an? |the )?", "", part.lower())
    for kind in sorted({*kinds, *USUAL_KINDS}, key=len, reverse=True):
        if plain == kind:
            return PhaseEquipment(kind=kind, per_batch=1)
        if plain.startswith(f"{kind} "):
            rest = plain.removeprefix(f"{kind} ").removeprefix("at ")
            try:
                return PhaseEquipment(kind=kind, per_batch=1, setting=Degrees().understand(rest))
            except NotUnderstood:
                continue
    return None
