"""Draws the README's pictures from the studio example: `python -m tests.browser.draw_pictures`.

The board on the phone is that of the day on camera, the paper its fullest page.

The example is planned if its ready-made plan is missing; `DAY PLAN` behind the command draws from
other files. The paper is turned into a picture by poppler's `pdftoppm`.
"""

import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright
from pypdf import PdfReader

from app.exchange.dayfile import load_day, load_plan
from app.planning.day import Day
from app.planning.plan import Plan
from seed_demo import example
from tests.live import CHROMIUM, FLAGS, ROOT, Server, stored

PICTURES = ROOT / "seed_demo" / "pictures"
PAPER_WIDTH = 1440
SCREENS = {
    "count.png": ("count", 1440, 900),
    "shelves.png": ("shelves", 1440, 900),
    "board-phone.png": ("board?day={air}", 360, 740),
}


def main() -> None:
    """Draw all four."""
    PICTURES.mkdir(exist_ok=True)
    day, plan = _given(sys.argv[1:])
    with tempfile.TemporaryDirectory() as folder:
        with _served(Path(folder), day, plan) as server, sync_playwright() as playing:
            browser = playing.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
            air = min(run.starts for run in day.runs)[:10]
            for name, (screen, width, height) in SCREENS.items():
                address = f"{server.url}/productions/1/{screen.format(air=air)}"
                _photograph(browser, address, name, width, height)
            browser.close()
        _print(day, plan, Path(folder))


def _given(files: list[str]) -> tuple[Day, Plan]:
    if files:
        day, plan = (Path(file).read_bytes() for file in files)
        return load_day(day), load_plan(plan)
    day_of_example = load_day(example("studio"))
    return day_of_example, _plan(day_of_example)


def _plan(day: Day) -> Plan:
    file = ROOT / "seed_demo" / "studio.plan.json"
    if file.is_file():
        return load_plan(file.read_bytes())
    from app.web.jobs import PlanJob

    plan = PlanJob(day).result()
    if plan is None:
        sys.exit("The example could not be planned.")
    return plan


def _served(folder: Path, day: Day, plan: Plan) -> Server:
    from app.storage.engine import close_store, open_store

    open_store(folder / "stagelarder.sqlite")
    stored(day, plan)
    close_store()
    return Server(folder)


def _photograph(browser: Browser, address: str, name: str, width: int, height: int) -> None:
    is_phone = width < 600
    profile = browser.new_context(
        viewport={"width": width, "height": height},
        device_scale_factor=2 if is_phone else 1,
        is_mobile=is_phone,
        has_touch=is_phone,
        reduced_motion="reduce",
    )
    page = profile.new_page()
    page.goto(address)
    page.evaluate("document.fonts.ready")
    page.wait_for_timeout(500)
    page.screenshot(path=PICTURES / name)
    profile.close()


def _print(day: Day, plan: Plan, folder: Path) -> None:
    from app.paper.board import draw

    pdf = folder / "board.pdf"
    pdf.write_bytes(draw(day, plan, day.prep_from, "A4"))
    out = PICTURES / "board-paper"
    texts = [page.extract_text() for page in PdfReader(pdf).pages]
    fullest = max(range(len(texts)), key=lambda page: len(texts[page])) + 1
    width = ["-f", str(fullest), "-scale-to-x", str(PAPER_WIDTH), "-scale-to-y", "-1"]
    subprocess.run(["pdftoppm", "-png", "-singlefile", *width, str(pdf), str(out)], check=True)


if __name__ == "__main__":
    main()
