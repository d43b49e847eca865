"""How sure a plan is, in words: for the command line and for the Count screen."""

from collections.abc import Iterator

from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.moments import use_minute
from app.planning.phrases import listed
from app.planning.plan import Plan
from app.planning.risk.found import Chance, Fall, Gain, Overrun, Risk, Unmade, UseChance

NeedKey = tuple[str, str, str]
PLAIN = {"late": "too late", "old": "too old", "lost": "lost or not made"}
FINE = 0.0005
MOST_NAMED = 6


def percent(share: float) -> str:
    """Return a share as *93.9 %*; only what is certain is 0 % or 100 %."""
    if share in (0, 1):
        return f"{100 * share:.0f} %"
    if FINE <= share < 1 - FINE:
        return f"{100 * share:.1f} %"
    return f"{min(max(100 * share, 0.01), 99.99):.2f} %"


def with_error(chance: Chance) -> str:
    """Return a chance and its standard error as *93.9 % ± 0.2*."""
    if chance.error == 0:
        return percent(chance.chance)
    return f"{percent(chance.chance)} ± {max(100 * chance.error, 0.01):.{_digits(chance)}f}"


def _digits(chance: Chance) -> int:
    return 1 if FINE <= chance.chance < 1 - FINE and chance.error >= FINE else 2


class Wording:
    """Puts the risk of a plan into sentences."""

    def __init__(self, day: Day, plan: Plan, risk: Risk) -> None:
        self.day, self.plan, self.risk = day, plan, risk
        self.clock = Clock(day.timezone)
        self.batches = {batch.id: batch for batch in plan.batches}
        over = risk.so_far.over if risk.so_far else ()
        keys = (*(use.key for use in risk.uses), *over)
        dates = {self.clock.date(use_minute(day, run, beat)) for run, beat, _ in keys}
        self.has_dates = len(dates) > 1
        self.only_date = "" if self.has_dates else "".join(dates)

    def lines(self) -> Iterator[str]:
        """Yield all of it, a sentence a line."""
        yield self.whole()
        yield from self.not_begun()
        for use in self.risk.uses:
            yield f"{self.need(use.key)}: {self.chance(use)}"
        if over := self.over():
            yield f"Over by then: {'; '.join(over)}."
        yield from self.weakest()
        yield from self.overruns()

    def whole(self) -> str:
        """Return how surely nothing lacks all day."""
        risk = self.risk
        served = [use for use in risk.uses if not use.short]
        now = self._now()
        if not served and self.over():
            return f"At {now} all that the plan serves is over."
        if not served:
            return "Nothing is needed that the plan serves, so nothing can go wrong."
        plays, spread = f"{risk.plays:,}".replace(",", " "), f"{100 * risk.spread:.10g} %"
        beyond = "" if len(served) == len(risk.uses) else " beyond what the plan itself is short of"
        known = f" from {now} on, with all that was told by then" if now else ""
        return (
            f"Played {plays} times{known} (seed {risk.seed}; every length varies by {spread}): in "
            f"{with_error(risk.whole_day)} of the plays nothing lacks "
            f"{'from then on' if now else 'all day'}{beyond}."
        )

    def _now(self) -> str:
        """Return the time now, if only what comes after is played."""
        return "" if self.risk.so_far is None else self._hour(self.risk.so_far.now)

    def over(self) -> list[str]:
        """Return the needs that are over."""
        over = () if self.risk.so_far is None else self.risk.so_far.over
        return [f"{self.beat(*key[:2])}: {self.stage(key)}" for key in over]

    def not_begun(self) -> Iterator[str]:
        """Yield which batches should have begun, and have not as far as anybody said."""
        ids = () if self.risk.so_far is None else self.risk.so_far.not_begun
        if ids:
            named = [self.batch(each) for each in ids[:MOST_NAMED]]
            said = listed(named) if len(ids) <= MOST_NAMED else f"{', '.join(named)} and more"
            what, taken = ("batch", "it is") if len(ids) == 1 else ("batches", "they are")
            yield (
                f"{len(ids)} {what} should have started by then, and nobody said so, so {taken} "
                f"taken as not begun: {said}."
            )

    def need(self, key: NeedKey) -> str:
        """Return a need as *knots-take-1 at 14:05, reveal: 6 baked*."""
        count = next(use.count for use in self.risk.uses if use.key == key)
        return f"{self.beat(key[0], key[1])}: {count} {self.stage(key)}"

    def stage(self, key: NeedKey) -> str:
        """Return what the stage of a need is called."""
        return self.day.stage(self.day.run(key[0]).demonstration, key[2]).called

    def beat(self, run: str, beat: str) -> str:
        """Return a beat of a run as *knots-take-1 at 14:05, reveal*."""
        passed, minute = self.day.run(run), use_minute(self.day, run, beat)
        named = self.day.demonstration(passed.demonstration).beat(beat).called
        date = f"{self.clock.date(minute)} " if self.has_dates else ""
        return f"{passed.called} at {date}{self.clock.hour(minute)}, {named}"

    def chance(self, use: UseChance) -> str:
        """Return how surely a need has its copies, and what goes wrong."""
        if use.short:
            return f"the plan itself is short of {use.short}"
        why = self.why(use)
        return f"ready {with_error(use)}{f' ({why})' if why else ''}"

    def why(self, use: UseChance) -> str:
        """Return what goes wrong with a need, as *too late 6.2 %, too old 0.3 %*."""
        shares = ((PLAIN[why], getattr(use, why)) for why in PLAIN)
        said = ", ".join(f"{plain} {percent(share)}" for plain, share in shares if share)
        return f"{said}, {self._unmade(use.unmade)}" if _is_mostly_unmade(use) else said

    def _unmade(self, unmade: Unmade | None) -> str:
        """Return what keeps a batch from being made: *mostly: dough too old for tied at 13:05*."""
        if unmade is None:
            return ""
        copy = next(each for each in self.plan.copies if each.id == unmade.copy_id)
        taken, made = self.day.stage(copy.demonstration, copy.stage), self.batches[unmade.batch]
        stage = self.day.stage(made.demonstration, made.stage).called
        return f"mostly: {taken.called} too old for {stage} at {self._hour(made.starts)}"

    def weakest(self) -> Iterator[str]:
        """Yield the weakest link, the batch behind it, and what would help."""
        use = self.risk.weakest_use
        if use is None:
            if any(not each.short for each in self.risk.uses):
                yield "No use ever lacked a copy, so there is no weakest link."
            return
        yield f"The weakest link is {self.need(use.key)}, {self.chance(use)}."
        if use.blame is not None:
            yield f"What is missing most often comes from {self.batch(use.blame)}."
        yield from self._helps(use)

    def _helps(self, use: UseChance) -> Iterator[str]:
        backup, minutes = self.risk.one_more_backup, self.risk.ten_minutes_more
        if backup is not None:
            costs = f"at most {backup.cost:.10g}" if backup.cost else "nothing"
            room = "if the kitchen has room for it"
            yield f"One more backup there costs {costs}, {room}, and {_makes(use, backup)}."
        if minutes is not None:
            sooner = "Its copies staged ten minutes sooner"
            later = "The same use ten minutes later"
            yield f"{later if self.risk.so_far else sooner}: that {_makes(use, minutes)}."

    def batch(self, batch: str) -> str:
        """Return a batch as *baked (deck) at 13:21*."""
        made = self.batches[batch]
        stage = self.day.stage(made.demonstration, made.stage)
        way = stage.way(made.way).called
        return f"{stage.called} ({way}) at {self._hour(made.starts)}"

    def _hour(self, starts: str) -> str:
        """Return the hour of a batch, with its day where that is not the only one with uses."""
        return self.clock.hour_seen_from(self.clock.minute(starts), self.only_date)

    def overruns(self) -> Iterator[str]:
        """Yield what follows if a run takes longer, a sentence for each that does harm."""
        harmless = [each.run for each in self.risk.overruns if not each.falls and not each.short]
        for each in self.risk.overruns:
            if each.falls or each.short:
                yield self._overrun(each)
        if harmless:
            names = ", ".join(self.day.run(run).called for run in harmless)
            minutes = self.risk.overruns[0].minutes
            yield f"Nothing dies if one of these takes {minutes} min longer: {names}."

    def _overrun(self, overrun: Overrun) -> str:
        said = f"If {self.day.run(overrun.run).called} takes {overrun.minutes} min longer: "
        alike: dict[tuple[object, ...], list[Fall]] = {}
        for fall in overrun.falls:
            alike.setdefault((fall.why, fall.use, fall.batch, fall.is_backup), []).append(fall)
        parts = [self._falls(falls) for falls in alike.values()]
        if overrun.short:
            parts.append(f"short then: {'; '.join(self.need(key) for key in overrun.short)}")
        return f"{said}{'; '.join(parts)}."

    def _falls(self, falls: list[Fall]) -> str:
        """Return what becomes of copies that share a taker and a reason."""
        first, tags = falls[0], ", ".join(fall.tag for fall in falls)
        said = f"{tags} {'is' if len(falls) == 1 else 'are'} {PLAIN[first.why]}"
        if first.use is None:
            return f"{said} for {self.batch(str(first.batch))}"
        role = "to back" if first.is_backup else "for"
        return f"{said} {role} {self.beat(first.use[0], first.use[1])}"


def _is_mostly_unmade(use: UseChance) -> bool:
    """Tell whether most of what a need lacks is missing as a batch could not be made in full."""
    return use.unmade is not None and 2 * min(use.unmade.share, use.lost) > 1 - use.chance


def _makes(use: UseChance, gain: Gain) -> str:
    if abs(gain.chance - use.chance) <= 2 * max(gain.error, use.error):
        return f"changes nothing to speak of (ready {with_error(gain)})"
    if gain.chance < use.chance:
        return f"makes it worse, ready {with_error(gain)}"
    return f"makes it ready {with_error(gain)}"
