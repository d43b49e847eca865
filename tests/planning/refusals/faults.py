"""How a test asks for what is wrong with a changed day."""

from typing import Any

import pytest

from app.planning.reading import Refused, read_day
from tests.planning.whole_day import changed, whole_day


def faults_of(changes: dict[str, Any]) -> list[str]:
    """Return what is wrong with the whole day once it is changed."""
    with pytest.raises(Refused) as refused:
        read_day(changed(whole_day(), changes))
    assert refused.value.more == 0
    return [str(fault) for fault in refused.value.faults]


def only_fault_of(changes: dict[str, Any]) -> str:
    """Return the one thing that is wrong; one mistake is told once."""
    faults = faults_of(changes)
    assert len(faults) == 1, faults
    return faults[0]
