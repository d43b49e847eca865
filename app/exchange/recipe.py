"""A schema.org Recipe as a demonstration to be completed.

Its ingredients are weighed for a first stage; each wait of its steps ends in a stage of its own,
since that is what can be made before and swapped in. What a recipe never tells (how long a stage
keeps, where it stands, what may be eaten) is put in carefully and listed.
"""

from collections.abc import Iterator
from typing import Any

from app.exchange.beginning import Beginning
from app.exchange.ingredient_lines import ingredient_of, is_to_taste
from app.exchange.linked_data import entries, is_a, lines, recipes_in, words
from app.exchange.separators import has_decimal_commas, unseparated
from app.exchange.sheets import refusal
from app.exchange.steps import HANDS_ON_MIN, Step, steps_in
from app.exchange.times_in_words import duration_min, times_in
from app.planning.dates import lasting
from app.planning.day import Demonstration, Ingredient, Input, Phase, Stage, Way
from app.planning.ids import id_from

MOST_STEPS, MOST_INGREDIENTS, LONGEST_TITLE = 200, 200, 120
KEEPS_MIN, WAIT_MIN, SCALE_MIN = 60, 10, 10
DEEPEST = 8
_STEPS_IN = ("itemListElement", "step", "steps")
_READ = {
    "@context", "@type", "@id", "name", "recipeIngredient", "ingredients", "recipeInstructions",
    "prepTime", "cookTime", "totalTime", "recipeYield", "yield", "tool", "step",
}  # fmt: skip
_NOT_ASKED = {"author", "datePublished", "dateModified", "url", "publisher", "keywords", "image",
              "mainEntityOfPage", "aggregateRating", "review", "isPartOf", "inLanguage", "id",
              "type", "isAccessibleForFree", "headline", "thumbnailUrl", "dateCreated"}  # fmt: skip


def read_recipe(data: bytes) -> Beginning:
    """Return the demonstration that a recipe begins.

    Parameters
    ----------
    data
        The JSON-LD of a schema.org Recipe, or a page that holds it, from whomever.

    Raises
    ------
    Refused
        If there is no recipe in it, or it has neither ingredients nor steps.
    """
    first, *others = recipes_in(data)
    return _Reader(first, [words(each.get("name")) for each in others]).beginning()


class _Reader:
    """Reads one recipe."""

    def __init__(self, recipe: dict[str, Any], others: list[str]) -> None:
        self.recipe = recipe
        self.missing: list[str] = []
        self.unread = [f"Another recipe, “{each[:80]}”: bring it by itself." for each in others]

    def beginning(self) -> Beginning:
        """Return what the recipe begins."""
        title = (words(self.recipe.get("name")) or "Recipe").split("\n")[0][:LONGEST_TITLE]
        ingredients, groups = self._ingredients(), self._groups()
        if not ingredients and not groups:
            raise refusal("the recipe", "it tells neither ingredients nor steps")
        stages = [self._scaled(ingredients)]
        for name, steps in groups:
            self._chain(stages, name, steps)
        self._times(groups)
        self._rest()
        demonstration = Demonstration(id=id_from(title), title=title, stages=tuple(stages))
        return Beginning(demonstration, tuple(self.missing), tuple(self.unread))

    def _ingredients(self) -> tuple[Ingredient, ...]:
        told = self.recipe.get("recipeIngredient", self.recipe.get("ingredients"))
        self._tell_bare("recipeIngredient", told)
        found = [each.lstrip("•*- ") for each in lines(told)]
        if len(found) > MOST_INGREDIENTS:
            left = len(found) - MOST_INGREDIENTS
            self.unread.append(f"{left} ingredients more than {MOST_INGREDIENTS}.")
        by_comma = has_decimal_commas(found)
        told_lines = [unseparated(each, by_comma) for each in found[:MOST_INGREDIENTS] if each]
        read = [ingredient_of(each) for each in told_lines]
        both = zip(told_lines, read, strict=True)
        bare = [each.name for line, each in both if each.amount is None and not is_to_taste(line)]
        if bare:
            self.missing.append(f"No amount could be read for: {'; '.join(bare)}.")
        if read:
            self.missing.append(
                "Allergens: a recipe does not tell them; say what each ingredient contains."
            )
        else:
            self.missing.append("The recipe tells no ingredients.")
        return tuple(read)

    def _scaled(self, ingredients: tuple[Ingredient, ...]) -> Stage:
        minutes = SCALE_MIN
        self.missing.append(f"scaled: {minutes} min to weigh everything is a guess.")
        phase = Phase(lasts_min=minutes, does="Weigh and measure everything.", hands=1)
        return Stage(
            id="scaled",
            keeps_min=KEEPS_MIN,
            ingredients=ingredients,
            tools=tuple(lines(self.recipe.get("tool")))[:MOST_INGREDIENTS],
            ways=(Way(id="scale", phases=(phase,)),),
        )

    def _groups(self) -> list[tuple[str, list[Step]]]:
        """Return the steps, by section where the recipe has sections."""
        told = self.recipe.get("recipeInstructions", self.recipe.get("step"))
        groups: list[tuple[str, list[Step]]] = []
        count, oven_c = 0, None
        for section, text in self._texts(told, "", 0):
            for step in steps_in(text):
                count += 1
                if step.is_heating:
                    oven_c = step.setting or oven_c
                    continue
                if step.is_hot_without_setting and oven_c is not None:
                    step = step.heated(oven_c)
                if count > MOST_STEPS:
                    self.unread.append(f"Steps from “{text[:60]}” on: {MOST_STEPS} at most.")
                    return groups
                if not groups or groups[-1][0] != section:
                    groups.append((section, []))
                groups[-1][1].append(step)
        if not groups:
            self.missing.append("The recipe tells no steps.")
        return groups

    def _tell_bare(self, key: str, told: object) -> None:
        """List the entries of a place that bear no text."""
        bare = [n for n, each in enumerate(entries(told), 1) if not words(each)]
        self.unread += [f"{key}: number {n} has no text." for n in bare[:MOST_INGREDIENTS]]

    def _texts(self, told: object, section: str, depth: int) -> Iterator[tuple[str, str]]:
        """Yield each step with the section that it stands in; list what is none."""
        for each in entries(told):
            inner, name = each if isinstance(each, list) else None, section
            if isinstance(each, dict) and (is_a(each, "HowToSection") or not each.get("text")):
                inner = next((each[key] for key in _STEPS_IN if each.get(key)), None)
                if is_a(each, "HowToSection"):
                    name = words(each.get("name")).split("\n")[0][:48] or section
            text = words(each)
            if inner is not None and depth < DEEPEST:
                yield from self._texts(inner, name, depth + 1)
            elif isinstance(each, dict) and is_a(each, "HowToTip"):
                self.unread.append(f"A tip and no step: “{text[:80]}”.")
            elif text:
                yield from ((section, line) for line in text.split("\n"))
            else:
                self.unread.append(
                    f"recipeInstructions: a step in {name or 'the list'} has no text."
                )

    def _chain(self, stages: list[Stage], section: str, steps: list[Step]) -> None:
        """Add the stages of one section: a wait ends a stage, and so does the section."""
        gathered: list[Step] = []
        before, is_part = stages[-1].called, bool(section) and len(stages) > 1
        for step in steps:
            gathered.append(step)
            if step.ends_in and step.phase.lasts_min >= WAIT_MIN:
                self._add(stages, step.ends_in, section, gathered)
                gathered = []
        if gathered:
            last = len(stages) == 1 or not section
            name = section if section else "finished" if last else "made"
            self._add(stages, name, section, gathered)
        if is_part:
            self.missing.append(
                f"{section} is a part of its own in the recipe; it is made from “{before}” until "
                f"you say otherwise."
            )

    def _add(self, stages: list[Stage], name: str, section: str, steps: list[Step]) -> None:
        taken = {stage.id for stage in stages}
        if section and id_from(name) in taken:
            name = f"{section}, {name}"
        ident = id_from(name, taken, "stage")
        name = f"{name} {ident.removeprefix(id_from(name, (), 'stage')).strip('-')}".strip()
        is_chilled = next((step.phase.zone for step in reversed(steps) if step.phase.zone), None)
        self._tell(name, steps)
        stages.append(
            Stage(
                id=ident,
                name=name if ident != name else None,
                takes=(Input(stage=stages[-1].id),),
                zone=is_chilled or "ambient",
                keeps_min=KEEPS_MIN,
                ways=(Way(id="recipe", phases=tuple(step.phase for step in steps)),),
            )
        )

    def _tell(self, stage: str, steps: list[Step]) -> None:
        for step in steps:
            said = f"“{step.phase.does[:60].rstrip()}{'…' * (len(step.phase.does) > 60)}”"
            if not step.is_timed:
                self.missing.append(
                    f"{stage}: {said} tells no time; {HANDS_ON_MIN} min is a guess."
                )
            if step.is_hot_without_setting:
                self.missing.append(f"{stage}: {said} does not tell how hot the oven is.")
            self.missing += [f"{stage}: {said}: {remark}" for remark in step.remarks]
        self.missing.append(f"{stage}: {KEEPS_MIN} min is a guess at how long it keeps.")

    def _times(self, groups: list[tuple[str, list[Step]]]) -> None:
        """Compare the times at the recipe's head with those of its steps."""
        known = SCALE_MIN + sum(step.phase.lasts_min for _, steps in groups for step in steps)
        for key, called in (("prepTime", "preparation"), ("cookTime", "cooking"),
                            ("totalTime", "all")):  # fmt: skip
            told = self.recipe.get(key)
            if told is None:
                continue
            minutes = _minutes(words(told))
            if minutes is None:
                self.unread.append(f"{key}: {words(told)[:60] or 'no text'}")
            elif key == "totalTime" and minutes != known:
                self.missing.append(
                    f"The recipe says {lasting(minutes)} for {called}; its stages here take "
                    f"{lasting(known)}."
                )
            elif key != "totalTime":
                self.missing.append(f"The recipe says {lasting(minutes)} for {called}.")

    def _rest(self) -> None:
        """List what a recipe may tell and nothing here holds."""
        served = words(self.recipe.get("recipeYield", self.recipe.get("yield")))
        for each in entries(self.recipe.get("recipeYield")):
            served = words(each) or served
        if served:
            self.missing.append(
                f"The recipe gives “{served[:60]}”: one copy is one recipe until you say otherwise."
            )
        for key, value in self.recipe.items():
            if key not in _READ | _NOT_ASKED and value not in (None, "", [], {}):
                said = " ".join("; ".join(filter(None, map(words, entries(value)))).split())[:80]
                self.unread.append(f"{key}: {said}" if said else key)
        self.missing.append("No copy is said to be safe to eat, and there are no beats yet.")


def _minutes(text: str) -> int | None:
    """Return the minutes of a duration, in ISO 8601 or in words."""
    found = duration_min(text)
    if found is None:
        found = max((each.minutes for each in times_in(text)), default=None)
    return found
