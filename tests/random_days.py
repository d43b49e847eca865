"""Tiny random days: valid, short enough to try everything, and together using every field.

`tiny_day(seed)` is a document; `days()` draws such days for hypothesis, which shrinks them.
"""

import random
from typing import Any

from hypothesis import strategies as st

from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.reading import read_day

Document = dict[str, Any]

# an ordinary morning, and two over which the clocks change
BEGINNINGS = (
    ("Europe/Lisbon", "2027-03-04T09:00"),
    ("Europe/Lisbon", "2027-03-28T00:50"),
    ("Europe/Lisbon", "2027-10-31T00:50"),
)
FLAGS = {
    "carry": 0.45, "back": 0.35, "stock": 0.25, "backups": 0.4, "loss": 0.25, "yields": 0.3,
    "inputs": 0.3, "shared": 0.2, "ways": 0.35, "own_from": 0.3, "oven": 0.4, "settings": 0.6,
    "falling": 0.3, "closed": 0.2, "slack": 0.3, "skills": 0.3, "shelves": 0.35, "slots": 0.4,
    "raw": 0.4, "untouched": 0.25, "tasting": 0.2, "stations": 0.2, "pickup": 0.25, "dry": 0.1,
    "reuse_off": 0.2, "fresh": 0.2, "clocks": 0.12, "margins": 0.3, "per_copy": 0.4, "costs": 0.3,
    "two_shifts": 0.2, "zone_phase": 0.3,
}  # fmt: skip


def tiny_day(seed: int) -> Document:
    """Return the tiny day of a seed, as a document."""
    return Tiny(random.Random(seed)).document()


def days() -> st.SearchStrategy[Day]:
    """Return a strategy of tiny valid days."""
    rolls = st.randoms(use_true_random=False)
    return rolls.map(lambda roll: read_day(Tiny(roll).document()))


class Tiny:
    """One day in the making; every choice comes from one random source."""

    def __init__(self, roll: random.Random) -> None:
        self.roll = roll
        self.has = {name: roll.random() < chance for name, chance in FLAGS.items()}
        zone, begins = BEGINNINGS[roll.choice((1, 2)) if self.has["clocks"] else 0]
        self.clock = Clock(zone)
        self.prep = self.clock.minute(begins)
        self.zones = ["ambient", "chill"] if self.has["shelves"] else ["ambient"]

    def chance(self, of: float) -> bool:
        """Return true as often as `of` says."""
        return self.roll.random() < of

    def at(self, minute: int) -> str:
        """Return the local text of a minute after `prep_from`."""
        return self.clock.text(self.prep + minute)

    def document(self) -> Document:
        """Return the whole day."""
        self.crew = self._crew()
        self.equipment = self._equipment()
        self.demonstrations = self._demonstrations()
        self.length = self._least_length() + self.roll.randint(0, 6)
        runs = self._runs()
        self._shifts()
        day: Document = {
            "format": "day/1", "title": "tiny", "timezone": self.clock.zone.key,
            "prep_from": self.at(0), "policy": self._policy(),
            "kitchen": {"equipment": self.equipment, "crew": self.crew, "shelves": self._shelves()},
            "stock": self._stock(), "demonstrations": self.demonstrations, "runs": runs,
        }  # fmt: skip
        return day

    def _policy(self) -> Document:
        policy: Document = {
            "ready_margin_min": self.roll.randint(0, 3),
            "return_min": self.roll.randint(0, 3),
            "confidence": self.roll.choice((0.8, 0.9, 0.95)),
        }
        if self.has["slack"]:
            policy["step_slack_min"] = self.roll.randint(1, 3)
        if self.has["reuse_off"]:
            policy["reuse"] = False
        if self.has["fresh"]:
            policy["prefer"] = "fresh"
        return policy

    # -- the kitchen --------------------------------------------------------------------------

    def _crew(self) -> list[Document]:
        crew: list[Document] = [
            {"id": f"cook-{i}", "shifts": []}
            for i in range(1, self.roll.choice((1, 1, 1, 2, 2, 3)) + 1)
        ]
        if self.has["skills"]:
            self.roll.choice(crew)["skills"] = ["pastry"]
        return crew

    def _shifts(self) -> None:
        for cook in self.crew:
            if self.has["two_shifts"]:
                gap = self.roll.randint(1, self.length)
                free = self.roll.randint(0, 4)
                spans = [(0, gap), (gap + free, gap + free + self.length)]
            else:
                begin = self.roll.choice((0, 0, 0, 1, 3))
                spans = [(begin, begin + self.roll.randint(self.length // 2, 2 * self.length) + 1)]
            cook["shifts"] = [[self.at(a), self.at(b)] for a, b in spans if b > a]

    def _equipment(self) -> list[Document]:
        if not self.has["oven"]:
            return []
        items: list[Document] = []
        for i in range(1, self.roll.choice((1, 1, 2)) + 1):
            item: Document = {"id": f"oven-{i}", "kind": "oven", "units": self.roll.randint(1, 2)}
            if self.has["closed"]:
                begin = self.roll.randint(0, 10)
                item["closed"] = [[self.at(begin), self.at(begin + self.roll.randint(1, 5))]]
            if self.has["settings"] and (i == 1 or self.chance(0.7)):
                change = self.roll.randint(0, 3)
                item["settings"] = {"change_min": change}
                if self.chance(0.3):
                    item["settings"]["cold_after_min"] = change + self.roll.randint(0, 3)
            items.append(item)
        if self.chance(0.3):
            items.append({"id": "mixer", "kind": "mixer"})
        return items

    def _shelves(self) -> list[Document]:
        if not self.has["shelves"]:
            return []
        shelves = []
        for i in range(self.roll.choice((1, 1, 2))):
            levels = [self.roll.randint(1, 2) for _ in range(self.roll.randint(1, 3))]
            if self.has["slots"]:
                levels[0] = 2
            shelves.append({"id": f"shelf-{i}", "zone": self.zones[i], "levels": levels})
        return shelves

    # -- stages and ways ----------------------------------------------------------------------

    def _demonstrations(self) -> list[Document]:
        made = []
        if self.has["shared"]:
            base = self._stage("base", None)
            made.append({"id": "part", "title": "part", "stages": [base]})
        for name in ("bun", "pie")[: 1 if self.chance(0.88) else 2]:
            made.append(self._demonstration(name, bool(self.has["shared"])))
        return made

    def _demonstration(self, name: str, shared: bool) -> Document:
        count = self.roll.choice((1, 1, 2, 2, 2, 3)) if name == "bun" else 1
        stages: list[Document] = []
        for i in range(count):
            stages.append(self._stage(f"s{i}", stages[-1]["id"] if stages else None))
        last = stages[-1]
        if shared:
            part: Document = {"stage": "base", "demonstration": "part"}
            last["from"] = [*last.get("from", []), part]
        if self.has["inputs"] and count == 3:
            last["from"].append({"stage": "s0"})
        return {"id": name, "title": name, "stages": stages, "beats": self._beats(stages)}

    def _stage(self, name: str, before: str | None) -> Document:
        roll = self.roll
        stage: Document = {"id": name, "keeps_min": roll.choice((2, 3, 4, 4, 5, 6, 8, 11))}
        if before is not None:
            entry: Document = {"stage": before}
            if self.has["inputs"] and self.chance(0.4):
                entry["count"] = 2
            stage["from"] = [entry]
            if self.has["yields"]:
                stage["yields"] = roll.randint(1, 3)
        if self.has["shelves"] and self.chance(0.2):
            stage["zone"] = "chill"
        if self.has["slots"] and self.chance(0.6):
            stage.update(roll.choice(({"copies_per_slot": 2}, {"slots": 2})))
        if self.has["costs"]:
            stage["cost"] = roll.choice((0.5, 1, 2, 3, 0.25))
        if self.has["loss"] and self.chance(0.5):
            stage["loss"] = roll.choice((0.05, 0.1, 0.2, 0.3))
        stage["ways"] = self._ways(name, before)
        self._food(stage)
        return stage

    def _food(self, stage: Document) -> None:
        if self.has["raw"]:
            if self.chance(0.5):
                stage.update(raw_animal=True, cook_to_c=self.roll.choice((63, 74)))
            elif self.chance(0.7):
                stage["ready_to_eat"] = True
        if self.has["tasting"] and not stage.get("raw_animal"):
            stage["ready_to_eat"] = True
            if self.chance(0.5):
                stage["safety_min"] = self.roll.randint(3, 8)
                stage["needs_temperature_control"] = self.chance(0.5)

    def _ways(self, stage: str, before: str | None) -> list[Document]:
        ways = [self._way("plain")]
        if self.has["ways"] and self.chance(0.6):
            other = self._way("other")
            if self.has["own_from"] and before is not None and self.chance(0.6):
                other.update({"from": [], "cost": 3})
            elif before is not None and self.has["yields"]:
                other["yields"] = self.roll.randint(1, 3)
            if self.has["loss"] and self.chance(0.4):
                other["loss"] = self.roll.choice((0, 0.15))
            ways.append(other)
        if self.has["ways"] and self.chance(0.1):
            smoker = {"lasts_min": 1, "equipment": [{"kind": "smoker", "per_batch": 1}]}
            ways.append({"id": "never", "phases": [smoker]})
        return ways

    def _way(self, name: str) -> Document:
        phases = [self._phase() for _ in range(self.roll.choice((1, 1, 2)))]
        if self.has["oven"] and self.chance(0.6):
            self._bake(phases)
        return {"id": name, "batch_max": self.roll.choice((1, 1, 2, 2, 3)), "phases": phases}

    def _phase(self) -> Document:
        phase: Document = {"lasts_min": self.roll.randint(1, 3)}
        if self.has["per_copy"] and self.chance(0.5):
            phase.update(
                self.roll.choice(({"per_copy_min": 1}, {"per_copy_s": 20}, {"per_copy_s": 45}))
            )
            phase["lasts_min"] = self.roll.randint(0, 2)
        if self.chance(0.65):
            phase["hands"] = 2 if len(self.crew) > 1 and self.chance(0.15) else 1
            if self.has["skills"] and self.chance(0.5):
                phase["skill"] = "pastry"
        if self.has["zone_phase"] and self.chance(0.4):
            phase["zone"] = self.roll.choice(self.zones)
        return phase

    def _bake(self, phases: list[Document]) -> None:
        setting = self.roll.choice((160, 200))
        for i, phase in enumerate(phases):
            use: Document = {"kind": "oven"}
            use.update(
                self.roll.choice(({"per_batch": 1}, {"copies_per_unit": 1}, {"copies_per_unit": 2}))
            )
            if i and self.has["falling"]:
                setting = 160
            use["setting"] = setting
            phase["equipment"] = [use]
            if not self.has["falling"] and self.chance(0.5):
                break
        if any(item["kind"] == "mixer" for item in self.equipment) and self.chance(0.3):
            phases[-1].setdefault("equipment", []).append({"kind": "mixer", "per_batch": 1})

    # -- beats and runs -----------------------------------------------------------------------

    def _beats(self, stages: list[Document]) -> list[Document]:
        beats: list[Document] = []
        begin = self.roll.choice((0, 0, 20, 60))
        for i in range(self.roll.choice((1, 1, 1, 2, 2, 3))):
            lasts = self.roll.choice((20, 60, 61, 100))
            beat: Document = {"id": f"b{i}", "starts_s": begin, "lasts_s": lasts}
            if self.chance(0.15):
                beat["kinds"] = ["take", "pickup"]
            wanted = self.roll.choice(stages)
            beat["needs"] = [self._need(wanted)]
            if len(stages) > 1 and self.chance(0.15):
                other = self.roll.choice([each for each in stages if each is not wanted])
                beat["needs"].append(self._need(other))
            self._leaves(beat, stages, wanted)
            beats.append(beat)
            begin += lasts + self.roll.choice((-1, 0, 0, 30, 90))
            begin = max(begin, 0)
        return beats

    def _need(self, stage: Document) -> Document:
        need: Document = {"stage": stage["id"]}
        if self.chance(0.15):
            need["count"] = 2
        if self.has["backups"] and self.chance(0.5):
            need["backups"] = self.roll.choice((1, 1, 2))
        if self.has["untouched"] and self.chance(0.5):
            need["untouched"] = True
        if self.has["tasting"] and stage.get("ready_to_eat") and self.chance(0.6):
            need["tasting"] = True
            if stage.get("needs_temperature_control") and "safety_min" not in stage:
                stage["safety_min"] = 5
        if self.has["margins"] and self.chance(0.3):
            need["ready_margin_min"] = self.roll.randint(0, 4)
        if self.has["stations"] and self.chance(0.3):
            need["per_station"] = False
        return need

    def _leaves(self, beat: Document, stages: list[Document], wanted: Document) -> None:
        leaves: list[Document] = []
        if self.has["back"] and self.chance(0.6):
            leaves.append({"stage": wanted["id"]})
        place = stages.index(wanted)
        if self.has["carry"] and place + 1 < len(stages) and self.chance(0.7):
            after = stages[place + 1]
            leaves.append({"stage": after["id"]})
            if self.chance(0.15):
                after["ways"] = []
        for each in leaves:
            if self.chance(0.2):
                each["count"] = 2
            if self.has["stations"] and self.chance(0.3):
                each["per_station"] = False
        if leaves:
            beat["leaves"] = leaves

    def _runs(self) -> list[Document]:
        runs = []
        begin = self.length
        shown = [each for each in self.demonstrations if each.get("beats")]
        for i in range(self.roll.choice((1, 1, 1, 2, 2, 3))):
            demo = shown[i % len(shown)]
            run: Document = {
                "id": f"r{i}", "demonstration": demo["id"],
                "kind": self.roll.choice(("rehearsal", "take", "take", "stills")),
                "starts": self.at(begin),
            }  # fmt: skip
            if self.has["pickup"] and self.chance(0.5):
                chosen = [beat["id"] for beat in demo["beats"] if self.chance(0.6)]
                run.update(kind="pickup", beats=chosen, starts_at_first_beat=self.chance(0.6))
            if self.has["stations"] and self.chance(0.6):
                run["stations"] = 2
            if self.has["margins"] and self.chance(0.3):
                run["ready_margin_min"] = self.roll.randint(0, 4)
            if self.has["dry"] and self.chance(0.5):
                run["dry"] = True
            runs.append(run)
            begin += self.roll.choice((0, 2, 3, 5, 7, 10))
        return runs

    def _least_length(self) -> int:
        """Return about the minutes that one copy of everything takes, one after the other."""
        total = 0
        for demo in self.demonstrations:
            for stage in demo["stages"]:
                ways = [_length(way) for way in stage["ways"] if way["id"] != "never"]
                total += max(ways, default=0)
        return min(total, 14) + self.roll.randint(2, 5)

    def _stock(self) -> list[Document]:
        if not self.has["stock"]:
            return []
        demo = self.roll.choice(self.demonstrations)
        stage = self.roll.choice(demo["stages"])
        return [
            {
                "id": "left-over", "demonstration": demo["id"], "stage": stage["id"],
                "count": self.roll.choice((1, 1, 2)), "staged": self.at(self.roll.randint(-4, 6)),
            }
        ]  # fmt: skip


def _length(way: Document) -> int:
    return sum(
        phase["lasts_min"] + phase.get("per_copy_min", 0) + (1 if "per_copy_s" in phase else 0)
        for phase in way["phases"]
    )
