"""A copy of the whole store, fetched by the browser or made on the command line."""

import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from app.planning.day import Day
from app.storage.engine import close_store, open_store, reading
from app.storage.queries.ticks import states
from app.storage.translate import day_of
from tests.live import ROOT

STARTED = {"event": "started", "batch": "b2", "once": "tap-1", "plan": 1, "by": "Ada"}


@pytest.fixture
def ticked(client: TestClient, production: int) -> int:
    """Return the id of a production of which something has started."""
    answer = client.post(f"/productions/{production}/ticks", json=[STARTED])
    assert answer.status_code == 200
    return production


def _holds_the_ticks(copy: Path, production: int, day: Day) -> None:
    close_store()
    open_store(copy)
    with reading() as conn:
        assert day_of(conn, production) == day
        assert states(conn, production).batches["b2"].state == "started"


def test_the_download_is_a_store_with_days_and_ticks(
    client: TestClient, ticked: int, knots_day: Day, tmp_path: Path
) -> None:
    """It comes as a file with a name that tells when; nothing of it stays behind."""
    left = set(Path(tempfile.gettempdir()).glob("stagelarder-*"))
    answer = client.get("/backup.sqlite")
    assert answer.status_code == 200
    said = answer.headers["Content-Disposition"]
    assert re.search(r'attachment; filename="stagelarder-\d{4}-\d\d-\d\d-\d{4}\.sqlite"', said)
    assert set(Path(tempfile.gettempdir()).glob("stagelarder-*")) == left
    copy = tmp_path / "restored" / "stagelarder.sqlite"
    copy.parent.mkdir()
    copy.write_bytes(answer.content)
    _holds_the_ticks(copy, ticked, knots_day)


def test_the_productions_lead_to_it(client: TestClient, production: int) -> None:
    """Beside the list; an empty store has nothing to keep."""
    assert 'href="/backup.sqlite" download' in client.get("/").text


def test_an_empty_store_offers_no_copy(client: TestClient) -> None:
    """There is nothing in it."""
    assert "/backup.sqlite" not in client.get("/").text


def test_a_machine_without_room_for_it_says_so(
    client: TestClient, production: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No half file is handed out."""
    monkeypatch.setattr(tempfile, "tempdir", "/proc")
    answer = client.get("/backup.sqlite")
    assert answer.status_code == 503
    assert "can&#39;t be written" in answer.text


def _command(data: Path, *arguments: str) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-m", "app", "backup", *arguments],
        cwd=ROOT,
        env=os.environ | {"STAGELARDER_DATA": str(data)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_command_copies_a_store_that_is_being_served(
    client: TestClient, ticked: int, knots_day: Day, tmp_path: Path
) -> None:
    """What was acknowledged is in it, though another process holds the store."""
    copy = tmp_path / "copy.sqlite"
    ended = _command(tmp_path / "var", "-o", str(copy))
    assert (ended.returncode, ended.stderr) == (0, "")
    assert ended.stdout.startswith(f"{copy}: the whole store")
    _holds_the_ticks(copy, ticked, knots_day)


def test_where_there_is_no_store_the_command_says_so(tmp_path: Path) -> None:
    """One sentence, and no file."""
    ended = _command(tmp_path, "-o", str(tmp_path / "copy.sqlite"))
    assert (ended.returncode, ended.stdout) == (4, "")
    assert re.fullmatch(r"There is no store \S+ yet, so there is nothing to copy\.\n", ended.stderr)
    assert list(tmp_path.iterdir()) == []
