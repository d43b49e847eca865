"""A server in a process of its own, for stories in a browser, and the browser that tells them.

`python -m tests.live` is what that process runs: a store with one planned production, served; with
`LIVE_STORE=empty` in the environment a store with nothing in it.
"""

import json
import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Mapping
from pathlib import Path
from types import TracebackType
from typing import Self

from app.planning.day import Day
from app.planning.plan import Plan

ROOT = Path(__file__).parents[1]
GOLDEN = ROOT / "tests" / "golden"
CHROMIUM = "/usr/bin/chromium"
# The second name stands for the kitchen's network: plain HTTP on an origin that isn't localhost.
FLAGS = [
    "--no-sandbox",
    "--disable-dev-shm-usage",
    "--disable-gpu",
    "--host-resolver-rules=MAP kitchen.test 127.0.0.1",
]
START_S = 40


def free_port() -> int:
    """Return a port that nothing listens on."""
    with socket.socket() as asking:
        asking.bind(("127.0.0.1", 0))
        return int(asking.getsockname()[1])


def stored(day: Day, plan: Plan | None) -> int:
    """Put a production into the opened store, publish its plan, and return its id."""
    from app.storage.changes.plans import publish_plan
    from app.storage.engine import writing
    from app.storage.translate import store_day

    with writing() as conn:
        production = store_day(conn, day)
    if plan is not None:
        with writing() as conn:
            publish_plan(conn, production, plan, by="test", once=f"first-plan-{production}")
    return production


class Server:
    """A server on a free port of 127.0.0.1 that can be killed and started again."""

    def __init__(self, data: Path, environment: Mapping[str, str] | None = None) -> None:
        self.data = data
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.kitchen_url = f"http://kitchen.test:{self.port}"
        self._environment = dict(environment or {})
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start the process and wait until it answers."""
        self.data.mkdir(parents=True, exist_ok=True)
        said = {
            "STAGELARDER_DATA": str(self.data),
            "STAGELARDER_PORT": str(self.port),
            "STAGELARDER_EXAMPLE": "none",
        }
        with self.log.open("ab") as log:
            self._process = subprocess.Popen(
                [sys.executable, "-m", "tests.live"],
                cwd=ROOT,
                env={**os.environ, **said, **self._environment},
                stdout=log,
                stderr=log,
            )
        self._wait()

    @property
    def log(self) -> Path:
        """Return the file with all that the server said."""
        return self.data / "server.log"

    @property
    def pid(self) -> int:
        """Return the id of the process that runs."""
        assert self._process is not None
        return self._process.pid

    def kill(self) -> None:
        """End the process at once, as a power cut does."""
        if self._process is not None:
            self._process.kill()
            self._process.wait()
            self._process = None

    def _wait(self) -> None:
        until = time.monotonic() + START_S
        while time.monotonic() < until:
            assert self._process is not None
            assert self._process.poll() is None, self.log.read_text("utf-8")
            try:
                urllib.request.urlopen(self.url + "/", timeout=2).close()
            except urllib.error.HTTPError:
                return
            except OSError:
                time.sleep(0.05)
            else:
                return
        raise TimeoutError(self.log.read_text("utf-8"))

    def __enter__(self) -> Self:
        self.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.kill()


def _serve() -> None:
    import uvicorn

    from app.main import create_app
    from app.settings import Settings
    from app.storage.engine import reading
    from app.storage.queries.productions import all_productions

    settings = Settings.read()
    app = create_app(settings)
    with reading() as conn:
        is_empty = not all_productions(conn)
    if is_empty and os.environ.get("LIVE_STORE") != "empty":
        day = Day.model_validate(json.loads((GOLDEN / "knots.day.json").read_text("utf-8")))
        plan = Plan.model_validate(json.loads((GOLDEN / "knots.plan.json").read_text("utf-8")))
        stored(day, plan)
    uvicorn.run(app, host="127.0.0.1", port=settings.port, timeout_graceful_shutdown=2)


if __name__ == "__main__":
    _serve()
