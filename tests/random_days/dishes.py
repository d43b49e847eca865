"""Stages, ways and phases of a tiny random day."""

from tests.random_days.beats import Beats
from tests.random_days.dice import Document
from tests.random_days.kitchens import Kitchens


class Dishes(Kitchens, Beats):
    """Rolls what is made, for a kitchen that is known."""

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
            own = self.has["own_from"] or self.has["own_inputs"]
            if own and before is not None and self.chance(0.6):
                other.update({"from": self._own_inputs(before), "cost": 3})
            elif before is not None and self.has["yields"]:
                other["yields"] = self.roll.randint(1, 3)
            if self.has["loss"] and self.chance(0.4):
                other["loss"] = self.roll.choice((0, 0.15))
            ways.append(other)
        if self.has["ways"] and self.chance(0.1):
            smoker = {"lasts_min": 1, "equipment": [{"kind": "smoker", "per_batch": 1}]}
            ways.append({"id": "never", "phases": [smoker]})
        return ways

    def _own_inputs(self, before: str) -> list[Document]:
        if not (self.has["own_inputs"] and self.chance(0.7)):
            return []
        inputs: list[Document] = [{"stage": before, "count": self.roll.choice((1, 1, 2))}]
        if self.has["shared"] and self.chance(0.5):
            inputs.append({"stage": "base", "demonstration": "part"})
        return inputs

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

    def _largest(self, kind: str) -> int:
        return max(item.get("units", 1) for item in self.equipment if item["kind"] == kind)

    def _bake(self, phases: list[Document]) -> None:
        setting = self.roll.choice((160, 200))
        for i, phase in enumerate(phases):
            use: Document = {"kind": "oven"}
            use.update(
                self.roll.choice(({"per_batch": 1}, {"copies_per_unit": 1}, {"copies_per_unit": 2}))
            )
            if self.has["units_of_both"] and self._largest("oven") > 1 and self.chance(0.5):
                use["per_batch"] = 1
            if i and self.has["falling"]:
                setting = 160
            use["setting"] = setting
            phase["equipment"] = [use]
            if not self.has["falling"] and self.chance(0.5):
                break
        if any(item["kind"] == "mixer" for item in self.equipment) and self.chance(0.3):
            phases[-1].setdefault("equipment", []).append({"kind": "mixer", "per_batch": 1})
