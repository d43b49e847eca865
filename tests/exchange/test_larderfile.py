"""A larder as a file: read with suspicion, written so that it reads the same."""

import json
from typing import Any

import pytest

from app.exchange.larderfile import dump_larder, load_larder
from app.food.larder import FIELDS
from app.planning.refusals.fault import Refused

EGG = dict.fromkeys(("name", *FIELDS), "") | {"name": "egg", "pack_amount": "12", "price": "3.60"}


def faults_of(document: Any) -> list[str]:
    """Return what is wrong with a document."""
    with pytest.raises(Refused) as refused:
        load_larder(json.dumps(document).encode())
    return [str(fault) for fault in refused.value.faults]


def test_what_is_written_reads_the_same() -> None:
    read = load_larder(dump_larder([EGG], "metric", "€"))
    assert read.system == "metric"
    assert read.currency == "€"
    assert load_larder(dump_larder([])).goods == ()
    assert read.good("EGG").packs == load_larder(dump_larder([EGG])).goods[0].packs


def test_numbers_may_be_numbers() -> None:
    good = {"name": "flour", "pack_amount": 1.5, "pack_unit": "kg", "price": 2}
    (read,) = load_larder(json.dumps({"format": "larder/1", "goods": [good]}).encode()).goods
    assert read.packs[0].price == 2


def test_every_fault_is_told_with_its_place() -> None:
    document = {
        "format": "larder/1",
        "units": "stones",
        "currency": 3,
        "shelf": 1,
        "goods": [7, {"name": "egg", "price": True}, {"name": "Egg", "cost": 1}, {"price": "x"}],
    }
    found = "\n".join(faults_of(document))
    for place in ("units:", "currency:", "shelf:", "goods[0]:", "goods[1].price:"):
        assert place in found
    assert "goods[2].name: “Egg” is there twice" in found
    assert "goods[2].cost: there is no such key" in found
    assert "goods[3].name: What is it called?" in found


@pytest.mark.parametrize("document", [[], {}, {"format": "day/1"}, 3, None])
def test_what_is_no_larder_is_refused(document: Any) -> None:
    assert faults_of(document)[0].startswith("format:")


def test_goods_are_a_list() -> None:
    assert faults_of({"format": "larder/1", "goods": {}}) == ["goods: a list of at most 10000"]
