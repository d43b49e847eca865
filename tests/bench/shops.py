"""The harder published shops: `python -m tests.bench.shops [NAME]` tells figures and seconds."""

import sys
import time

from app.planning.solve import solve
from tests.published.shops import SHOPS, shop_day


def main(names: list[str]) -> None:
    """Solve each shop at its optimum and a minute under it."""
    for name in names:
        for deadline in (SHOPS[name]["optimum"], SHOPS[name]["optimum"] - 1):
            began = time.monotonic()
            plan = solve(shop_day(name, deadline))
            took = time.monotonic() - began
            unmet, bound = plan.objective.unmet, plan.bounds.unmet
            print(
                f"{name} at {deadline}: unmet {unmet}, bound {bound}, {plan.status}, {took:.1f} s"
            )


if __name__ == "__main__":
    main(sys.argv[1:] or ["ft06", "la01", "la05", "ft10"])
