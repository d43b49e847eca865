"""Seconds from `./start` in a fresh clone to the first page: `python -m tests.bench.first_page`.

The packages come over the network or from the installer's own store, as the machine has them.
Beside the seconds of the clock stand those of the processor, the server's end included.
"""

import os
import subprocess
import tempfile
import time
import urllib.request
from pathlib import Path

from tests.bench.spent import children_s, load
from tests.live import ROOT, free_port

PATIENCE_S = 600
ENDS_S = 20


def main() -> None:
    """Tell both figures: the first start and the second."""
    with tempfile.TemporaryDirectory() as folder:
        clone = Path(folder) / "stagelarder"
        subprocess.run(["git", "clone", "-q", str(ROOT), str(clone)], check=True)
        for which in ("first", "second"):
            before_s, told_s = children_s(), _seconds(clone)
            used_s = children_s() - before_s
            print(f"{which} start to the first page: {told_s:.1f} s, {used_s:.1f} s of processor")
    print(load())


def _seconds(clone: Path) -> float:
    """Return the seconds from `./start` to the first page."""
    port, began = free_port(), time.monotonic()
    with (clone / "start.log").open("wb") as log:
        started = subprocess.Popen(
            ["./start", "--port", str(port)],
            cwd=clone,
            stdout=log,
            stderr=log,
            env={name: value for name, value in os.environ.items() if "STAGELARDER" not in name},
        )
        try:
            while not _answers(port):
                assert started.poll() is None, (clone / "start.log").read_text("utf-8")
                assert time.monotonic() - began < PATIENCE_S
                time.sleep(0.05)
            return time.monotonic() - began
        finally:
            started.terminate()
            started.wait(ENDS_S)


def _answers(port: int) -> bool:
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=5) as page:
            return bool(page.status == 200)
    except OSError:
        return False


if __name__ == "__main__":
    main()
