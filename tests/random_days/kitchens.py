"""Crew, equipment and shelves of a tiny random day."""

from tests.random_days.dice import Dice, Document


class Kitchens(Dice):
    """Rolls the kitchen; the crew gets its shifts once the length of the day is known."""

    crew: list[Document]
    equipment: list[Document]
    length: int

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
