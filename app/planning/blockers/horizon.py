"""The days that a clash is about: what was on others does not matter to it."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from app.planning.blockers.clash import Clash
from app.planning.day import Day, Span


@dataclass(frozen=True)
class Days:
    """The dates from the first to the last that matter; `since` is None where all before do."""

    since: date | None
    until: date

    def are_about(self, span: Span) -> bool:
        """Tell whether a span of local times touches one of these days."""
        begins, ends = (date.fromisoformat(text[:10]) for text in span)
        return begins <= self.until and (self.since is None or ends >= self.since)


def days_of(day: Day, clash: Clash) -> Days | None:
    """Return the days that a clash is about; None where no run of it is known.

    Nothing is of use that is made after its runs. Where every step that it names keeps too short,
    nothing is either that was made before all of them together begin.
    """
    runs = [day.run(need.ids[0]) for need in clash.needs]
    if not runs:
        return None
    starts = [datetime.fromisoformat(run.starts[:16]) for run in runs]
    begin_s = [beat.starts_s for run in runs for beat in day.beats_of(run)]
    until = (max(starts) + timedelta(seconds=max(begin_s, default=0))).date()
    back_min = _back_min(day, clash)
    since = None if back_min is None else (min(starts) - timedelta(minutes=back_min)).date()
    return Days(since, until)


def _back_min(day: Day, clash: Clash) -> int | None:
    """Return for how long before its runs a clash goes back; None if a step may be any time ago."""
    keeps = {fact.ids for fact in clash.facts if fact.kind == "keeps"}
    steps = {fact.ids[:2] for fact in clash.facts if fact.kind == "way"}
    steps |= {(day.run(need.ids[0]).demonstration, need.ids[2]) for need in clash.needs}
    if not steps <= keeps:
        return None
    stages = [day.stage(*ids) for ids in keeps]
    margin_min = max(day.policy.ready_margin_min, *(run.ready_margin_min or 0 for run in day.runs))
    return margin_min + sum(
        stage.keeps_min
        + day.policy.step_slack_min
        + max((way.length_min(way.batch_max) for way in stage.ways), default=0)
        for stage in stages
    )
