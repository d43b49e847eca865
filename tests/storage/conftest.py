"""The fixtures of the tests of the store."""

from tests.storage.opened import knots, planned, store

__all__ = ["knots", "planned", "store"]
