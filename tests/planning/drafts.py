"""Small days and whole plans written by hand, for the tests of the audit.

A draft says what happens; who takes what, roles, tags, counts and figures follow from it, so that
one change of a draft breaks one rule.
"""

from collections import Counter
from typing import Any, Self

from app.planning.audit import audit
from app.planning.auditing.goals import figures
from app.planning.auditing.ledger import Ledger
from app.planning.day import Day
from app.planning.plan import Plan

Facts = dict[str, Any]
DATE = "2027-03-04"
NOTHING = {"unmet": 0, "unbacked": 0, "cost": 0, "hands_min": 0, "waiting_min": 0, "early_min": 0}
ROLES = {"camera": "on_camera", "feeds": "feeds", "backup": "backups", "spare": "spares"}


def at(clock: str) -> str:
    """Return `hh:mm` of the day of all drafts as a whole time; a whole time as it is."""
    return clock if len(clock) > 5 else f"{DATE}T{clock}"


def cook(cook_id: str = "ada", shift: tuple[str, str] = ("06:00", "20:00"), **rest: Any) -> Facts:
    """Return one of the crew with one shift."""
    return {"id": cook_id, "shifts": [[at(shift[0]), at(shift[1])]], **rest}


def way(lasts_min: int = 10, *, most: int = 12, **phase: Any) -> Facts:
    """Return a way of one phase; hands-on unless told."""
    return {
        "id": "way",
        "batch_max": most,
        "phases": [{"lasts_min": lasts_min, "hands": 1, **phase}],
    }


def stage(stage_id: str, *ways: Facts, keeps_min: int = 240, **rest: Any) -> Facts:
    """Return a stage; one simple way unless told."""
    return {"id": stage_id, "keeps_min": keeps_min, "ways": list(ways or (way(),)), **rest}


def beat(beat_id: str, starts_s: int, lasts_s: int, needs: Facts, leaves: Facts) -> Facts:
    """Return a beat; needs and leavings are counts, or whole facts, by stage."""
    both = [
        [each | {"stage": s} if isinstance(each, dict) else {"stage": s, "count": each}]
        for some in (needs, leaves)
        for s, each in some.items()
    ]
    flat = [each for one in both for each in one]
    return {
        "id": beat_id,
        "starts_s": starts_s,
        "lasts_s": lasts_s,
        "needs": flat[: len(needs)],
        "leaves": flat[len(needs) :],
    }


def run(run_id: str, starts: str, demonstration: str = "loaf", **rest: Any) -> Facts:
    """Return a take."""
    facts = {"id": run_id, "demonstration": demonstration, "kind": "take", "starts": at(starts)}
    return facts | rest


def day(stages: list[Facts], beats: list[Facts], runs: list[Facts], **rest: Any) -> Facts:
    """Return a day with one demonstration, `loaf`, one cook and no shelves unless told."""
    return {
        "format": "day/1",
        "title": "draft",
        "timezone": "Europe/Lisbon",
        "prep_from": at("06:00"),
        "kitchen": {"crew": [cook()]},
        "demonstrations": [
            {"id": "loaf", "title": "Loaf", "code": "L", "stages": stages, "beats": beats}
        ],
        "runs": runs,
    } | rest


class Draft:
    """A plan in the making for one day."""

    def __init__(self, facts: Facts) -> None:
        self.day = Day.model_validate(facts)
        self.batches: list[Facts] = []
        self.copies: dict[str, Facts] = {}
        self.uses: list[Facts] = []
        self.heats: list[Facts] = []
        self.unmet: list[Facts] = []
        self.kin: dict[str, str] = {}

    def batch(
        self, batch_id: str, what: str, copies: str, *phases: Any, takes: str = "", way: str = "way"
    ) -> Self:
        """Add a batch; a phase is `(starts, ends, crew, {item: units})`, the last two optional."""
        demonstration, stage_id = what.split("/")
        for copy in copies.split():
            self._copy(copy, what, phases[-1][1], {"batch": batch_id})
        self.batches.append(
            {
                "id": batch_id,
                "demonstration": demonstration,
                "stage": stage_id,
                "way": way,
                "consumes": takes.split(),
                "copies": copies.split(),
                "phases": [_phase(*phase) for phase in phases],
            }
        )
        return self

    def left(self, copy: str, what: str, by: str, staged: str) -> Self:
        """Add a copy that a beat leaves: `by` is `run/beat`."""
        return self._copy(copy, what, staged, {"use": by.split("/")})

    def stock(self, copy: str, what: str, entry: str, staged: str) -> Self:
        """Add a copy from stock."""
        return self._copy(copy, what, staged, {"stock": entry})

    def _copy(self, copy: str, what: str, staged: str, made_by: Facts) -> Self:
        demonstration, stage_id = what.split("/")
        self.copies[copy] = {
            "id": copy,
            "demonstration": demonstration,
            "stage": stage_id,
            "staged_at": at(staged),
            "made_by": made_by,
            "places": [],
        }
        return self

    def use(self, need: str, copies: str = "", backups: str = "") -> Self:
        """Serve a need, `run/beat/stage`."""
        run_id, beat_id, stage_id = need.split("/")
        self.uses.append(
            {
                "run": run_id,
                "beat": beat_id,
                "stage": stage_id,
                "copies": copies.split(),
                "backups": backups.split(),
            }
        )
        return self

    def lack(self, need: str, kind: str, count: int) -> Self:
        """Say what a need lacks."""
        run_id, beat_id, stage_id = need.split("/")
        self.unmet.append(
            {"run": run_id, "beat": beat_id, "stage": stage_id, "kind": kind, "count": count}
        )
        return self

    def heat(self, item: str, setting: int, starts: str, ends: str) -> Self:
        """Say when an item is lit."""
        self.heats.append(
            {"equipment": item, "setting": setting, "starts": at(starts), "ends": at(ends)}
        )
        return self

    def place(self, copy: str, spot: str, starts: str, ends: str) -> Self:
        """Say where a copy stands: `shelf/level/slot`."""
        self.copies[copy]["places"].append(_standing(spot, starts, ends))
        return self

    def in_phase(self, batch_id: str, phase: int, spot: str, copies: int) -> Self:
        """Say where copies of a batch stand during one of its phases, all of it."""
        told = next(b for b in self.batches if b["id"] == batch_id)["phases"][phase]
        where = _standing(spot, told["starts"], told["ends"]) | {"copies": copies}
        told.setdefault("places", []).append(where)
        return self

    def document(self) -> Facts:
        """Return the plan with all that follows from the draft."""
        copies = [each | self._follows(each) for each in self.copies.values()]
        plan = {
            "status": "feasible",
            "objective": NOTHING,
            "bounds": dict.fromkeys(NOTHING),
            "batches": self.batches,
            "copies": copies,
            "uses": self.uses,
            "heats": self.heats,
            "unmet": self.unmet,
            "counts": _counts(copies),
        }
        plan["objective"] = figures(Ledger(self.day, Plan.model_validate(plan)))
        return plan

    def broken(self) -> set[str]:
        """Return the codes of the rules that the plan breaks."""
        return codes(self.day, self.document())

    def _follows(self, copy: Facts) -> Facts:
        takers = self._takers(copy["id"])
        backs = any(copy["id"] in use["backups"] for use in self.uses)
        role = "backup" if backs else "spare"
        if takers:
            role = "camera" if "use" in takers[0] else "feeds"
        return {"taken_by": takers, "role": role, "tag": self._tag(copy["id"])}

    def _takers(self, copy: str) -> list[Facts]:
        takers = []
        moments = Ledger(self.day, Plan.model_validate(_bare())).programme.moments
        clock = Ledger(self.day, Plan.model_validate(_bare())).clock
        for use in self.uses:
            key = use["run"], use["beat"]
            if copy in use["copies"] and key in moments:
                takers.append((moments[key].starts_s, {"use": list(key)}))
        for batch in self.batches:
            if copy in batch["consumes"]:
                starts_s = clock.minute(batch["phases"][0]["starts"]) * 60
                takers.append((starts_s, {"batch": batch["id"]}))
        return [taker for _, taker in sorted(takers, key=lambda pair: pair[0])]

    def _tag(self, copy: str) -> str:
        if copy in self.kin:
            return self._tag(self.kin[copy])
        fresh = [each for each in self.copies.values() if each["id"] not in self.kin]
        own = [each for each in fresh if each["demonstration"] == self._demonstration(copy)]
        own.sort(key=lambda each: each["staged_at"])
        number = [each["id"] for each in own].index(copy) + 1
        code = self.day.demonstration(self._demonstration(copy)).code
        return f"{code}-{number}"

    def _demonstration(self, copy: str) -> str:
        found: str = self.copies[copy]["demonstration"]
        return found


def codes(facts: Day, plan: Facts) -> set[str]:
    """Return the codes of the rules that a plan breaks."""
    return {breach.code for breach in audit(facts, Plan.model_validate(plan))}


def _bare() -> Facts:
    return {"status": "feasible", "objective": NOTHING, "bounds": {}}


def _phase(
    starts: str, ends: str, crew: str = "", equipment: dict[str, int] | None = None
) -> Facts:
    held = [{"id": item, "units": units} for item, units in (equipment or {}).items()]
    return {"starts": at(starts), "ends": at(ends), "crew": crew.split(), "equipment": held}


def _standing(spot: str, starts: str, ends: str) -> Facts:
    shelf, level, slot = spot.split("/")
    where = {"shelf": shelf, "level": int(level), "slot": int(slot)}
    return where | {"from": at(starts), "to": at(ends)}


def _counts(copies: list[Facts]) -> list[Facts]:
    rows: dict[tuple[str, str], Counter[str]] = {}
    for copy in copies:
        row = rows.setdefault((copy["demonstration"], copy["stage"]), Counter())
        row[ROLES[copy["role"]]] += 1
        row[
            {"batch": "made", "stock": "stock", "use": "carried_in"}[next(iter(copy["made_by"]))]
        ] += 1
    columns = ("made", "stock", "carried_in", *ROLES.values())
    return [
        {"demonstration": kind[0], "stage": kind[1]} | {column: row[column] for column in columns}
        for kind, row in rows.items()
    ]
