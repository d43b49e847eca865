"""The rooms put together: an app with its store, its screens and its guards."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import FastAPI

from app import web
from app.first_start import put_example
from app.settings import Settings
from app.storage.engine import close_store, open_store
from app.storage.photographs import unpack_photographs
from app.web import errors, guard
from app.web.after_edits import AfterEdits
from app.web.desk import Desk


def create_app(settings: Settings) -> FastAPI:
    """Return the app over the store that `settings` name; a missing store is made.

    Raises
    ------
    OSError
        If the store's folder can't be made.
    StoreTrouble
        If the store can't be opened, with the sentence to show.
    """
    settings.data.mkdir(parents=True, exist_ok=True)
    open_store(settings.store)
    unpack_photographs()
    desk = Desk()
    if settings.example != "none":
        put_example(settings.example, desk)
    app = FastAPI(title="Stagelarder", docs_url=None, redoc_url=None, lifespan=_running)
    app.state.settings = settings
    app.state.desk = desk
    for router in web.ROUTERS:
        app.include_router(router)
    errors.install(app)
    guard.install(app)
    return app


@asynccontextmanager
async def _running(app: FastAPI) -> AsyncIterator[None]:
    app.state.after_edits = AfterEdits(lambda: app.state.desk)
    yield
    app.state.after_edits.close()
    close_store()
