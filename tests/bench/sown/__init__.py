"""Bugs to sow into the planner's model, each as one exact change of text, one at a time."""

from tests.bench.sown.bug import Bug
from tests.bench.sown.flows import BACKUPS, FLOWS
from tests.bench.sown.goals import GOALS, PROOFS
from tests.bench.sown.kitchen import BATCHES, KITCHEN
from tests.bench.sown.needs import NEEDS
from tests.bench.sown.shelves import SHELVES
from tests.bench.sown.windows import WINDOWS

__all__ = ["BUGS", "Bug"]

BUGS = (*NEEDS, *WINDOWS, *FLOWS, *BACKUPS, *KITCHEN, *BATCHES, *SHELVES, *GOALS, *PROOFS)
