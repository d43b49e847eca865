"""The rooms put together: an app with its store, its screens and its guards."""

from fastapi import FastAPI

from app import web
from app.settings import Settings
from app.storage.engine import open_store
from app.web import errors


def create_app(settings: Settings) -> FastAPI:
    """Return the app over the store that `settings` name; a missing store is made.

    Raises
    ------
    OSError
        If the store's folder can't be made or written.
    """
    settings.data.mkdir(parents=True, exist_ok=True)
    open_store(settings.store)
    app = FastAPI(title="Stagelarder", docs_url=None, redoc_url=None)
    app.state.settings = settings
    for router in web.ROUTERS:
        app.include_router(router)
    errors.install(app)
    return app
