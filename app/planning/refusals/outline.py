"""The sketch of a whole day, with the look-ups that the rules share."""

from functools import cached_property

from app.planning.minutes import Clock
from app.planning.refusals.sketch import Sketch

Demonstration = Sketch
Stage = Sketch
Way = Sketch


class Outline:
    """A day as far as it is well shaped.

    Where a fault hides a fact, the look-ups say that it is not known, and the rules that need it
    keep silent: one mistake is told once.
    """

    def __init__(self, root: Sketch, document: dict[str, object], clock: Clock | None) -> None:
        self.root = root
        self.document = document
        self.clock = clock or Clock("UTC")
        self.has_zone = clock is not None
        self.demonstrations = root.parts("demonstrations")
        self.kitchen = root.part("kitchen") or Sketch((), {}, {}, {})

    @cached_property
    def by_id(self) -> dict[str, Demonstration]:
        """Return the demonstrations by id; of two with one id, the first."""
        return _by_id(self.demonstrations)

    @cached_property
    def ids_of_demonstrations(self) -> dict[str, None]:
        """Return the ids of all demonstrations, those beyond the limit too."""
        told = self.document.get("demonstrations")
        entries = told if isinstance(told, list | tuple) else []
        ids = [each.get("id") for each in entries if isinstance(each, dict)]
        return dict.fromkeys(each for each in ids if isinstance(each, str))

    @cached_property
    def _stages(self) -> dict[tuple[str | int, ...], dict[str, Stage]]:
        return {each.path: _by_id(each.parts("stages")) for each in self.demonstrations}

    def stages_of(self, demonstration: Demonstration) -> dict[str, Stage]:
        """Return the stages of a demonstration by id."""
        return self._stages[demonstration.path]

    def source(self, demonstration: Demonstration, entry: Sketch) -> Stage | None:
        """Return the stage that an entry of `from`, `needs` or `leaves` names, if it is there."""
        home = self.home(demonstration, entry)
        stage = entry.text("stage")
        return None if home is None or stage is None else self.stages_of(home).get(stage)

    def home(self, demonstration: Demonstration, entry: Sketch) -> Demonstration | None:
        """Return the demonstration whose stage an entry names: its own, unless it says another."""
        if not entry.given("demonstration"):
            return demonstration
        return self.by_id.get(entry.text("demonstration") or "")

    @cached_property
    def all_stages(self) -> list[tuple[Demonstration, Stage]]:
        """Return every stage with its demonstration."""
        return [(home, stage) for home in self.demonstrations for stage in home.parts("stages")]

    @cached_property
    def all_ways(self) -> list[tuple[Demonstration, Stage, Way]]:
        """Return every way with its stage and demonstration."""
        return [
            (home, stage, way) for home, stage in self.all_stages for way in stage.parts("ways")
        ]

    @cached_property
    def all_phases(self) -> list[Sketch]:
        """Return every phase."""
        return [phase for _, _, way in self.all_ways for phase in way.parts("phases")]

    @cached_property
    def all_beats(self) -> list[tuple[Demonstration, Sketch]]:
        """Return every beat with its demonstration."""
        return [(home, beat) for home in self.demonstrations for beat in home.parts("beats")]

    def furniture(self, key: str) -> list[Sketch] | None:
        """Return the equipment, crew or shelves; None where a fault hides some of it."""
        if self.root.given("kitchen") and self.root.part("kitchen") is None:
            return None
        if self.kitchen.given(key) and not self.kitchen.is_whole(key):
            return None
        return self.kitchen.parts(key)

    @cached_property
    def hands(self) -> int | None:
        """Return how many the crew are; None where that is not known."""
        crew = self.furniture("crew")
        return None if crew is None else len(crew)

    @cached_property
    def skills(self) -> set[str] | None:
        """Return the skills that anybody has; None where a fault hides some of them."""
        crew = self.furniture("crew")
        if crew is None or not all(cook.is_whole("skills") for cook in crew):
            return None
        return {skill for cook in crew for skill in cook.value("skills")}

    @cached_property
    def units(self) -> dict[str, list[int | None]] | None:
        """Return the units of the items of each kind; None where a fault hides a kind."""
        items: dict[str, list[int | None]] = {}
        for item in self.furniture("equipment") or []:
            items.setdefault(item.value("kind"), []).append(item.value("units"))
        return None if self.furniture("equipment") is None or None in items else items

    @cached_property
    def widest(self) -> dict[str, int]:
        """Return the slots of the widest level of each zone that has shelves and is known."""
        levels: dict[str, int] = {}
        shelves = self.furniture("shelves") or []
        if not all(shelf.is_whole("levels") and shelf.value("zone") for shelf in shelves):
            return {}
        for shelf in shelves:
            zone = shelf.value("zone")
            levels[zone] = max([levels.get(zone, 0), *shelf.value("levels")])
        return levels

    def minute(self, text: str) -> int:
        """Return the minute of a well-shaped time, in UTC as long as the zone is not known."""
        return self.clock.minute(text if self.has_zone else text[:16])


def taken_by(stage: Stage, way: Way) -> list[Sketch]:
    """Return the entries of the `from` that a way goes by: its own, else the stage's."""
    return (way if way.given("from") else stage).parts("from")


def slots_of(stage: Stage) -> int | None:
    """Return the slots that a copy takes side by side; None where that is not known."""
    if not stage.given("slots"):
        return 1
    slots = stage.value("slots")
    return slots if isinstance(slots, int) else None


def own(demonstration: Demonstration, part: Sketch) -> str:
    """Return the ids of something in a demonstration, as in `knots/baked`."""
    return f"{demonstration.text('id') or '?'}/{part.text('id') or '?'}"


def _by_id(parts: list[Sketch]) -> dict[str, Sketch]:
    known: dict[str, Sketch] = {}
    for part in parts:
        ident = part.text("id")
        if ident is not None:
            known.setdefault(ident, part)
    return known
