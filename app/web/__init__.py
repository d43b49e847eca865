"""Requests in, HTML out.

A noun joins by adding a file with a `router`; nobody has to list it anywhere. `errors`, `guard`
and whatever else wraps the whole app has an `install(app)` instead, or beside it; what they need
to know stands in `app.state.settings`.
"""

import importlib
import pkgutil
from collections.abc import Iterator
from types import ModuleType
from typing import Any


def modules() -> Iterator[ModuleType]:
    """Yield every module and package of this room, by name."""
    for found in sorted(pkgutil.iter_modules(__path__), key=lambda each: each.name):
        yield importlib.import_module(f"{__name__}.{found.name}")


def __getattr__(name: str) -> Any:
    # Late, since a planning process imports `web.jobs` and must not wait for every screen.
    if name == "ROUTERS":
        return [each.router for each in modules() if hasattr(each, "router")]
    raise AttributeError(name)
