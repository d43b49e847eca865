"""A bug to sow: one exact change of text."""

from dataclasses import dataclass

MODEL = "app/planning/model"


@dataclass(frozen=True)
class Bug:
    """One change of one file that makes the planner wrong; `first` is a test likely to catch it."""

    name: str
    file: str
    text: str
    instead: str
    first: str = ""
