"""The tables of a kitchen, each a CSV file; where they come from stands here.

| file | what | source |
| --- | --- | --- |
| usda_sr28_household.csv | grams of household measures, share refused | USDA National Nutrient \
Database for Standard Reference, release 28 (public domain) |
| names.csv | which row a kitchen's word means | our own reading of the rows' descriptions |
| yields.csv | share left after trimming | named in each row |
| pans.csv | pans and containers | named in each row |
"""

import csv
from functools import cache
from importlib import resources


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Return the rows of a table, a dict each; no value is read as a number yet."""
    text = resources.files(__name__).joinpath(f"{name}.csv").read_text("utf-8")
    return tuple(csv.DictReader(text.splitlines()))
