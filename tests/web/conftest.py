"""What tests of the screens share."""

import pytest
from fastapi.testclient import TestClient

from tests.web.editing import Editing


@pytest.fixture
def ada(client: TestClient, production: int) -> Editing:
    """Return an open editor of the knots."""
    return Editing(client, production)
