"""The server: a port of its own, the app behind it, and the address said aloud."""

import errno
import gc
import socket
import tempfile
from collections.abc import Callable
from ipaddress import ip_address
from pathlib import Path

import uvicorn
from fastapi import FastAPI

from app.main import create_app
from app.settings import Settings
from app.storage.refusals import StoreTrouble

# An open event stream would keep the server from ending.
SHUTDOWN_S = 2


class NotServed(Exception):
    """Why there is no server; its text is the sentence to show."""


def serve(settings: Settings, say: Callable[[str], None]) -> None:
    """Serve until somebody ends it with Ctrl-C.

    Raises
    ------
    NotServed
        If the port is taken, the address isn't this machine's, or the store can't be written.
    """
    with _listening(settings) as listening:
        app = _app(settings)
        gc.freeze()
        gc.enable()
        where = "the kitchen's network" if settings.is_open else _address(settings)
        say(f"Stagelarder serves {where} (Ctrl-C ends it)")
        server = uvicorn.Server(
            uvicorn.Config(
                app,
                log_level="warning",
                access_log=False,
                server_header=False,
                proxy_headers=False,
                timeout_graceful_shutdown=SHUTDOWN_S,
            )
        )
        try:
            server.run(sockets=[listening])
        except KeyboardInterrupt:
            say("Ended.")


def _address(settings: Settings) -> str:
    host = f"[{settings.host}]" if ":" in settings.host else settings.host
    return f"http://{host}:{settings.port}/"


def _listening(settings: Settings) -> socket.socket:
    is_six = settings.host != "localhost" and ip_address(settings.host).version == 6
    listening = socket.socket(socket.AF_INET6 if is_six else socket.AF_INET)
    # A server that just ended leaves its port in a state that would refuse the next one.
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((settings.host, settings.port))
        listening.listen(2048)
    except OSError as error:
        listening.close()
        raise NotServed(_why_not(error, settings)) from error
    return listening


def _why_not(error: OSError, settings: Settings) -> str:
    if error.errno == errno.EADDRINUSE:
        other = settings.port + 1 if settings.port < 65535 else 8000
        return (
            f"Port {settings.port} is in use, perhaps by a Stagelarder that already runs: "
            f"end that one, or start with --port {other}."
        )
    if error.errno == errno.EADDRNOTAVAIL:
        return f"{settings.host} is not an address of this machine (see: hostname -I)."
    if error.errno == errno.EACCES:
        return f"Port {settings.port} is kept for the system: take one from 1024 on."
    return f"{_address(settings)} can't be served: {error.strerror}."


def _app(settings: Settings) -> FastAPI:
    try:
        _check_folder(settings.data)
        return create_app(settings)
    except OSError as error:
        raise NotServed(
            f"The folder {settings.data.resolve()} can't be written ({error.strerror}): "
            "free it, or name another in STAGELARDER_DATA."
        ) from error
    except StoreTrouble as trouble:
        raise NotServed(str(trouble)) from trouble


def _check_folder(folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryFile(dir=folder):
        pass
