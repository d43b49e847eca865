"""Stages that are made from themselves in the end, across demonstrations too."""

from collections.abc import Iterable, Iterator, Mapping

from app.planning.refusals.fault import Found, Path
from app.planning.refusals.outline import Outline, own

MOST_NAMED = 6
Edges = dict[Path, dict[Path, Path]]


def circles(day: Outline) -> Iterator[Found]:
    """Find circles of stages; each is told once, at the first `from` on it."""
    edges, names = _edges(day), {}
    for demonstration, stage in day.all_stages:
        names[stage.path] = own(demonstration, stage)
    order = {path: number for number, path in enumerate(edges)}
    for knot in _knots(edges):
        first = min(knot, key=lambda path: order[path])
        circle = _shortest(first, knot, edges)
        if circle:
            words = _words([names[path] for path in circle])
            yield Found((*edges[first][circle[1]], "stage"), words)


def _words(circle: list[str]) -> str:
    named = circle if len(circle) <= MOST_NAMED else [*circle[: MOST_NAMED - 1], "…", circle[-1]]
    return f"made in a circle: {' from '.join(named)}; take one of these out of its from"


def _edges(day: Outline) -> Edges:
    """Return for each made stage the made ones that it is made from, with the entry saying so."""
    edges: Edges = {}
    for demonstration, stage in day.all_stages:
        for holder in (stage, *stage.parts("ways")):
            for entry in holder.parts("from"):
                source = day.source(demonstration, entry)
                if source is not None:
                    edges.setdefault(stage.path, {}).setdefault(source.path, entry.path)
    return {
        path: {source: entry for source, entry in sources.items() if source in edges}
        for path, sources in edges.items()
    }


def _shortest(first: Path, knot: set[Path], edges: Edges) -> list[Path] | None:
    """Return the shortest way round from a stage to itself; None if there is none."""
    came: dict[Path, Path] = {}
    queue = [first]
    for here in queue:
        for source in edges[here]:
            if source == first:
                return _back(first, here, came)
            if source in knot and source not in came:
                came[source] = here
                queue.append(source)
    return None


def _back(first: Path, last: Path, came: dict[Path, Path]) -> list[Path]:
    circle = [first]
    here = last
    while here != first:
        circle.append(here)
        here = came[here]
    return [*circle, first][::-1]


def _knots(edges: Edges) -> Iterator[set[Path]]:
    """Yield the stages that reach each other, set by set (Kosaraju's two walks)."""
    makes: dict[Path, list[Path]] = {path: [] for path in edges}
    for path, sources in edges.items():
        for source in sources:
            makes[source].append(path)
    seen: set[Path] = set()
    finished = [path for start in edges for path in _walk(start, edges, seen)]
    seen = set()
    for start in reversed(finished):
        knot = set(_walk(start, makes, seen))
        if knot:
            yield knot


def _walk(start: Path, edges: Mapping[Path, Iterable[Path]], seen: set[Path]) -> Iterator[Path]:
    """Yield what is reached from a stage and not yet seen, the farthest first."""
    if start in seen:
        return
    seen.add(start)
    trail = [(start, iter(edges[start]))]
    while trail:
        here, rest = trail[-1]
        fresh = next((path for path in rest if path not in seen), None)
        if fresh is None:
            trail.pop()
            yield here
        else:
            seen.add(fresh)
            trail.append((fresh, iter(edges[fresh])))


RULES = (circles,)
