"""Requests in, HTML out: every noun file with a `router` joins by being there."""

import pkgutil
from importlib import import_module

from fastapi import APIRouter

# A request tries the nouns one after the other, and a kitchen ticks more than it looks.
ASKED_MOST = ("ticks",)


def _found() -> tuple[APIRouter, ...]:
    names = (each.name for each in pkgutil.iter_modules(__path__))
    modules = sorted(names, key=lambda name: (name not in ASKED_MOST, name))
    nouns = (import_module(f"{__name__}.{name}") for name in modules)
    return tuple(noun.router for noun in nouns if hasattr(noun, "router"))


def __getattr__(name: str) -> tuple[APIRouter, ...]:
    """Find `ROUTERS` when it is asked for, so that a noun file may import from this room."""
    if name == "ROUTERS":
        return _found()
    raise AttributeError(name)
