"""A copy of the whole store as a download, made while everybody goes on working."""

import shutil
import tempfile
from datetime import datetime
from pathlib import Path

from fastapi import APIRouter
from fastapi.responses import FileResponse
from starlette.background import BackgroundTask

from app.storage.backup import back_up
from app.storage.engine import opened
from app.storage.refusals import no_folder

router = APIRouter()


@router.get("/backup.sqlite")
def whole_store() -> FileResponse:
    """Hand out every production with its plans, ticks and history in one checked file."""
    try:
        folder = Path(tempfile.mkdtemp(prefix="stagelarder-"))
    except OSError as error:
        raise no_folder(Path(tempfile.gettempdir())) from error
    try:
        copy = back_up(opened().path, folder / "copy.sqlite")
    except BaseException:
        shutil.rmtree(folder, ignore_errors=True)
        raise
    return FileResponse(
        copy,
        filename=f"stagelarder-{datetime.now():%Y-%m-%d-%H%M}.sqlite",
        media_type="application/vnd.sqlite3",
        headers={"Cache-Control": "private, no-store"},
        background=BackgroundTask(shutil.rmtree, folder, ignore_errors=True),
    )
