"""How sure a plan is: each use's chance, the weakest link, what an overrun kills, other slack."""

from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.day import Day
from app.planning.day_now import day_now
from app.planning.minutes import MINUTE_S
from app.planning.plan import Plan
from app.planning.risk.found import Risk
from app.planning.risk.words import Wording, percent, with_error
from app.web import words
from app.web.errors import Told
from app.web.floor import now_s
from app.web.page import answer
from app.web.playing import Played, Since, playing_of
from app.web.seen import Seen, see
from app.web.trials import KINDS, TRIAL_S, Kind, Series, Trial, player_of, trials_of
from app.web.underway import under_way

router = APIRouter(prefix="/productions/{id}/sure")
CALLED = {"step_slack_min": "between steps", "ready_margin_min": "before a use"}


@dataclass(frozen=True)
class Row:
    """How surely one need has its copies."""

    words: str
    ready: str
    why: str


@dataclass(frozen=True)
class Sure:
    """What is told of the risk of a plan, in words: of what is to come, where some is `over`."""

    whole: str
    not_begun: tuple[str, ...]
    weakest: tuple[str, ...]
    shaky: tuple[Row, ...]
    steady: tuple[str, ...]
    over: tuple[str, ...]
    overruns: tuple[str, ...]


@dataclass(frozen=True)
class Asked:
    """What is to be played of a production: its plan with the day, from some minute on or all."""

    day: Day
    plan: Plan
    since: Since | None


@dataclass(frozen=True)
class Step:
    """One trial of slack: its figures beside those of the plan, and all of it as a sentence."""

    trial: Trial
    cost: str
    more: str
    losing: str
    lost_uses: str
    says: str


@dataclass(frozen=True)
class Slide:
    """The trials of one kind of slack, and where the plan itself stands among them."""

    kind: Kind
    called: str
    steps: tuple[Step, ...]
    now: int


def shown(request: Request, seen: Seen) -> dict[str, Any]:
    """Return what the part about the risk of a plan needs; the plays are not begun for it."""
    if seen.plan is None:
        return {
            "played": None,
            "sure": None,
            "is_under_way": False,
            "slack": None,
            "slides": (),
            "measured": "",
        }
    asked = _asked(request, seen)
    played = playing_of(request).kept(seen.id, asked.day, asked.plan, asked.since)
    series = trials_of(request).kept(seen.id, seen.planned, seen.plan)
    return {
        "played": played,
        "sure": _sure(played, played.risk) if played and played.risk else None,
        "is_under_way": asked.since is not None,
        "slack": series,
        "slides": _slides(series) if series else (),
        "measured": _measured(series) if series else "",
        "trial_s": TRIAL_S,
        "trying": _trying(series),
    }


@router.get("")
def sure(request: Request, id: int, again: bool = False) -> Response:
    """Show how sure the published plan is; the first who asks has it played."""
    seen = see(id)
    asked = _asked(request, seen)
    playing_of(request).begin(id, asked.day, asked.plan, asked.since, again=again)
    return _show(request, seen, "sure/_part.html")


@router.post("/slack")
def slack(request: Request, id: int) -> Response:
    """Have the day planned again with other slack, for figures to compare."""
    seen = see(id)
    asked = _asked(request, seen)
    if asked.since is not None:
        words = "The day is under way, so it can’t be planned again with other slack."
        raise Told(409, words, then="How sure", go=f"/productions/{id}/sure")
    played = playing_of(request).kept(id, asked.day, asked.plan)
    if played is None or played.risk is None:
        words = "The plan has not been played yet, so there is nothing to compare with."
        raise Told(409, words, then="How sure", go=f"/productions/{id}/sure")
    trials = trials_of(request)
    trials.begin(id, asked.day, asked.plan, played.risk, player_of(request))
    return _show(request, seen, "sure/_slack.html")


@router.get("/slack")
def slack_so_far(request: Request, id: int) -> Response:
    """Show what the trials have found; the part is asked for again while they go on."""
    return _show(request, see(id), "sure/_slack.html")


@router.post("/slack/stop")
def stop(request: Request, id: int) -> Response:
    """End the trials; what they found stays."""
    seen = see(id)
    trials_of(request).stop(id)
    return _show(request, seen, "sure/_slack.html")


def _show(request: Request, seen: Seen, part: str) -> Response:
    values = shown(request, seen)
    return answer(request, "sure/page.html", part, seen=seen, production=seen.production, **values)


def _plan(seen: Seen) -> Plan:
    if seen.plan is None:
        words = "There is no published plan yet, so there is nothing to play."
        raise Told(409, words, then="The count", go=f"/productions/{seen.id}/count")
    return seen.plan


def _asked(request: Request, seen: Seen) -> Asked:
    """Return what there is to play: as soon as anything was told of the day, from now on."""
    plan = _plan(seen)
    known = under_way(seen.id)
    if all(each.event == "undone" for each in known.stands):
        return Asked(seen.planned, plan, None)
    since = Since(tuple(known.stands), int(now_s(request)) // MINUTE_S)
    return Asked(known.fresh, plan, since)


def _sure(played: Played, risk: Risk) -> Sure:
    since = played.since
    day = played.day if since is None else day_now(played.day, since.events)
    said = Wording(day, played.plan, risk)
    served = [use for use in risk.uses if not use.short]
    shaky = sorted((use for use in served if use.chance < 1), key=lambda use: use.chance)
    return Sure(
        whole=_kept_together(said.whole()),
        not_begun=tuple(said.not_begun()),
        weakest=tuple(_kept_together(each) for each in said.weakest()),
        shaky=tuple(
            Row(
                said.need(use.key),
                _kept_together(with_error(use)),
                _kept_together(said.why(use)),
            )
            for use in shaky
        ),
        steady=tuple(said.need(use.key) for use in served if use.chance == 1),
        over=tuple(said.over()),
        overruns=tuple(said.overruns()),
    )


def _kept_together(words: str) -> str:
    """Return words in which no line breaks between a number and its sign."""
    return words.replace(" %", "\u00a0%").replace(" ± ", "\u00a0±\u00a0")


def _slides(series: Series) -> tuple[Slide, ...]:
    slides = []
    for kind in KINDS:
        trials = series.of(kind)
        now = next(number for number, each in enumerate(trials) if each.is_now)
        base = series.alike(kind) or trials[now]
        steps = tuple(_step(each, base) for each in trials)
        slides.append(Slide(kind, CALLED[kind], steps, now))
    return tuple(slides)


def _measured(series: Series) -> str:
    """Return what other slack is compared with, where that is not the plan as it is."""
    own, base = series.as_it_is(KINDS[0]), series.alike(KINDS[0])
    if base is None or _figures(base) == _figures(own):
        return ""
    return _kept_together(
        f"All are compared with the slack of now planned by the same work: {_figures(base)}. "
        f"The plan as it is has the same slack: {_figures(own)}. "
        "So much two plans differ without any slack; less than that says little."
    )


def _figures(trial: Trial, more: str = "") -> str:
    return (
        f"copies cost {words.number(float(trial.cost))}{more}; something lacks in "
        f"{percent(trial.losing)} of the plays, on average {trial.lost_uses:.2f} uses a day"
    )


def _step(trial: Trial, base: Trial) -> Step:
    slack = f"{trial.minutes} min {CALLED[trial.kind]}"
    if trial.failed is not None:
        return Step(trial, "", "", "", "", f"{slack}: {trial.failed}")
    more, says = "the plan as it is", f"{slack}, as now: {_figures(trial)}."
    if not trial.is_now:
        more = _difference(trial, base) + _a_minute(trial, base)
        instead = f"with {base.minutes} min {percent(base.losing)} and {base.lost_uses:.2f}"
        says = f"{slack}: {_figures(trial, f', {more}')} ({instead})."
    short = f" This plan is short of {trial.unmet}." if trial.unmet else ""
    return Step(
        trial=trial,
        cost=words.number(float(trial.cost)),
        more=more,
        losing=percent(trial.losing),
        lost_uses=f"{trial.lost_uses:.2f}",
        says=_kept_together(says + short),
    )


def _difference(trial: Trial, now: Trial) -> str:
    """Return what a trial costs more; copies that it lacks would only make it look cheap."""
    if trial.unmet > now.unmet or trial.unbacked > now.unbacked:
        return "not to be compared"
    more = trial.cost - now.cost
    if more == 0:
        return "no more"
    return f"{words.number(float(abs(more)))} {'more' if more > 0 else 'less'}"


def _a_minute(trial: Trial, now: Trial) -> str:
    """Return what a minute of slack costs, where it costs anything."""
    more, minutes = trial.cost - now.cost, trial.minutes - now.minutes
    is_alike = (trial.unmet, trial.unbacked) == (now.unmet, now.unbacked)
    return f" ({words.number(more / minutes)} a minute)" if minutes and more and is_alike else ""


def _trying(series: Series | None) -> str:
    if series is None or series.trying is None:
        return ""
    kind, minutes = series.trying
    if minutes == series.now_min(kind):
        return "the slack of now, to compare with"
    return f"{minutes} min {CALLED[kind]}"
