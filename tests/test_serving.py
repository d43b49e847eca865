"""Settings, the first start, and the server as a process."""

import json
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from app.first_start import put_example
from app.planning.day import Day
from app.planning.plan import Plan
from app.settings import BadSetting, Settings
from app.storage.engine import close_store, open_store, reading
from app.storage.queries.plans import newest_number, published
from app.storage.queries.productions import all_productions
from app.storage.translate import day_of
from app.web.desk import Desk, Draft
from app.web.jobs import PlanJob
from tests.live import ROOT, free_port
from tests.web import solvers

PATIENCE_S = 60


def test_settings_come_from_the_environment_and_the_command_goes_before() -> None:
    """What is said twice is taken from where it is nearer."""
    environment = {"STAGELARDER_PORT": "8123", "STAGELARDER_DATA": "/srv/store", "HOME": "/x"}
    settings = Settings.read(environment, port="8124", host=None)
    assert settings == Settings(data=Path("/srv/store"), port=8124)
    assert Settings.read({"STAGELARDER_PORT": ""}) == Settings()


@pytest.mark.parametrize(
    ("name", "value"), [("PORT", "eight"), ("PORT", "0"), ("HOST", "kitchen"), ("EXAMPLE", "opera")]
)
def test_a_malformed_setting_stops_the_start_with_a_sentence(name: str, value: str) -> None:
    """It names the setting, the value and what it should be."""
    with pytest.raises(BadSetting, match=f"STAGELARDER_{name} is '{value}', but must be"):
        Settings.read({f"STAGELARDER_{name}": value})


@pytest.mark.parametrize(
    ("host", "is_open"),
    [("127.0.0.1", False), ("localhost", False), ("::1", False), ("192.0.2.7", True)],
)
def test_only_an_address_of_the_network_opens_the_server(host: str, is_open: bool) -> None:
    """Addresses of the loopback stay between the program and its own machine."""
    assert Settings(host=host).is_open is is_open


def test_a_fresh_store_gets_the_example_with_its_plan(store: Path, example_day: Day) -> None:
    """The first page shows a planned production at once, and a second start adds nothing."""
    put_example("studio", Desk())
    put_example("studio", Desk())
    with reading() as conn:
        (row,) = all_productions(conn)
        assert day_of(conn, row.id) == example_day
        plan = published(conn, row.id)
    assert plan is not None
    assert plan.number == 1


@pytest.fixture
def other_example(monkeypatch: pytest.MonkeyPatch, knots_day: Day) -> None:
    """Let the knots be the example: no ready-made plan fits them."""
    written = json.dumps(knots_day.model_dump(mode="json", by_alias=True, exclude_none=True))
    monkeypatch.setattr("app.web.examples.example", lambda name: written.encode())


def _slow_desk() -> Desk:
    return Desk(lambda day, number: PlanJob(day, number=number, solver=solvers.until_stopped))


def _until_published() -> Plan:
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until:
        time.sleep(0.05)
        with reading() as conn:
            plan = published(conn, 1)
        if plan is not None:
            return plan
    raise AssertionError("no plan was published")


def _first_draft(desk: Desk) -> Draft:
    draft = desk.draft(1)
    assert draft is not None
    assert draft.is_working
    return draft


def test_an_example_without_a_fitting_plan_is_planned_at_the_desk(
    store: Path, other_example: None, knots_plan: Plan
) -> None:
    """The screens show its progress meanwhile, then its plan, and no draft beside it."""
    desk = _slow_desk()
    put_example("studio", desk)
    _first_draft(desk).job.stop()
    assert _until_published().objective == knots_plan.objective
    until = time.monotonic() + PATIENCE_S
    while desk.draft(1) is not None:
        assert time.monotonic() < until
        time.sleep(0.02)


def test_the_planning_of_the_first_example_goes_on_after_the_server_ended(
    store: Path, other_example: None, knots_plan: Plan
) -> None:
    """A second start begins it again; a third has nothing to do."""
    ended = _slow_desk()
    put_example("studio", ended)
    first = _first_draft(ended)
    close_store()
    first.job.kill()
    open_store(store)
    desk = _slow_desk()
    put_example("studio", desk)
    _first_draft(desk).job.stop()
    assert _until_published().objective == knots_plan.objective
    put_example("studio", desk)
    with reading() as conn:
        assert newest_number(conn, 1) == 1


@contextmanager
def _served(data: Path, port: int, *more: str) -> Iterator["subprocess.Popen[str]"]:
    process = subprocess.Popen(
        [sys.executable, "-m", "app", "serve", "--port", str(port), *more],
        cwd=ROOT,
        env={"STAGELARDER_DATA": str(data), "STAGELARDER_EXAMPLE": "none", "PATH": "/usr/bin"},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        yield process
    finally:
        process.kill()
        process.wait()


def test_the_server_says_its_address_and_ends_when_asked(tmp_path: Path) -> None:
    """The line holds an address that answers; Ctrl-C ends it without a word of complaint."""
    with _served(tmp_path, free_port()) as process:
        assert process.stdout is not None
        address = re.search(r"http://127\.0\.0\.1:\d+/", process.stdout.readline())
        assert address is not None
        assert b"<html" in urllib.request.urlopen(address[0], timeout=PATIENCE_S).read()
        process.send_signal(signal.SIGINT)
        _, complaint = process.communicate(timeout=PATIENCE_S)
    assert (process.returncode, complaint) == (0, "")


def _end_of(process: "subprocess.Popen[str]") -> str:
    _, said = process.communicate(timeout=PATIENCE_S)
    assert process.returncode == 4
    (sentence,) = said.splitlines()
    return str(sentence)


def test_a_start_waits_for_nothing_that_only_later_work_needs(tmp_path: Path) -> None:
    """A store that is up to date needs no migrations, and a server neither solves nor draws."""
    late = ("alembic", "ortools", "numpy", "weasyprint", "segno", "pint")
    start = (
        "import sys; from app.main import create_app; from app.settings import Settings; "
        "create_app(Settings.read()); "
        f"print(*[name for name in {late} if name in sys.modules])"
    )
    environment = {"STAGELARDER_DATA": str(tmp_path), "STAGELARDER_EXAMPLE": "none"}
    told = [
        subprocess.run(
            [sys.executable, "-c", start],
            cwd=ROOT,
            env=environment,
            stdout=subprocess.PIPE,
            text=True,
            check=True,
        ).stdout.split()
        for _ in range(2)
    ]
    assert told == [["alembic"], []]


def test_a_port_in_use_is_one_sentence(tmp_path: Path) -> None:
    """It says which port, and how to take another."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with _served(tmp_path, port) as process:
            assert re.match(rf"Port {port} is in use.*--port \d+\.", _end_of(process))


def test_a_folder_that_cannot_be_written_is_one_sentence() -> None:
    """It says which folder, and how to name another."""
    with _served(Path("/proc/nowhere"), free_port()) as process:
        assert "STAGELARDER_DATA" in _end_of(process)


def test_a_store_that_is_no_store_is_one_sentence(tmp_path: Path) -> None:
    """A file of something else is left alone."""
    (tmp_path / "stagelarder.sqlite").write_text("a shopping list " * 500, "utf-8")
    with _served(tmp_path, free_port()) as process:
        assert "stagelarder.sqlite" in _end_of(process)
    assert (tmp_path / "stagelarder.sqlite").read_text("utf-8").startswith("a shopping list")


def test_an_address_of_another_machine_is_one_sentence(tmp_path: Path) -> None:
    """192.0.2.0/24 belongs to nobody (RFC 5737), so it isn't this machine's."""
    with _served(tmp_path, free_port(), "--host", "192.0.2.7") as process:
        assert "not an address of this machine" in _end_of(process)
