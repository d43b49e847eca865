"""The two example productions and the skeletons of demonstrations, and their loader."""

from importlib.resources import files

EXAMPLES = ("studio", "class")


def example(name: str) -> bytes:
    """Return the day file of an example production.

    Parameters
    ----------
    name
        `studio`, a shoot day with its two prep days, or `class`, eight benches.

    Raises
    ------
    KeyError
        If there is no such example.
    """
    if name not in EXAMPLES:
        raise KeyError(name)
    return files(__name__).joinpath(f"{name}.day.json").read_bytes()


def skeletons() -> bytes:
    """Return the day file whose demonstrations are stages for common natures of dish.

    Where their times come from stands in `skeletons.md`.
    """
    return files(__name__).joinpath("skeletons.day.json").read_bytes()
