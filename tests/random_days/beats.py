"""What the beats of a tiny random day need and leave."""

from tests.random_days.dice import Dice, Document


class Beats(Dice):
    """Rolls beats for stages that are known."""

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
