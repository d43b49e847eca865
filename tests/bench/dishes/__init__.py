"""Natures of dish for the generated productions: what is made in which stages, and shown when.

Words, names and figures are ours. All lengths, keeping times and temperatures are *common
practice*, from memory, and only there to be believable; each production varies them.
"""

from tests.bench.dishes.baked import BAKED
from tests.bench.dishes.cold import COLD
from tests.bench.dishes.hot import HOT
from tests.bench.dishes.steps import Nature

# in an order that takes turns at the ovens, the hob and the chill
NATURES: tuple[Nature, ...] = tuple(
    nature for turn in zip(BAKED, HOT, COLD, strict=True) for nature in turn
)
