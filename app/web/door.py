"""The door to the kitchen's network: a join code, the token of its QR code, and passes."""

import hmac
import io
import os
import socket
from base64 import urlsafe_b64decode, urlsafe_b64encode
from collections import deque
from collections.abc import Callable
from hashlib import sha256
from ipaddress import ip_address
from pathlib import Path
from secrets import randbelow, token_bytes, token_urlsafe
from typing import Literal

DIGITS = 6
TOKEN_BYTES = 16
KEY_BYTES = 32
NAME_MOST = 48
# Twenty wrong codes in ten minutes, whoever sends them: a million codes outlast any shoot.
TRIES_EACH, TRIES_EACH_S = 5, 60.0
TRIES_ALL, TRIES_ALL_S = 20, 600.0
Verdict = Literal["in", "wrong", "wait"]


class Door:
    """Who may come in: whoever knows the code or the token gets a pass that this door signed."""

    def __init__(self, key: bytes, now: Callable[[], float]) -> None:
        self.code = f"{randbelow(10**DIGITS):0{DIGITS}d}"
        self.token = token_urlsafe(TOKEN_BYTES)
        self._key, self._now = key, now
        self._wrong: deque[tuple[float, str]] = deque()

    def knock(self, said: str, address: str) -> Verdict:
        """Return whether a code or token lets an address in; wrong ones are counted.

        The token is too long to be guessed, so it is heard even while codes must wait.
        """
        if hmac.compare_digest(said.encode(), self.token.encode()):
            return "in"
        if self._must_wait(address):
            return "wait"
        if hmac.compare_digest(said.encode(), self.code.encode()):
            return "in"
        self._wrong.append((self._now(), address))
        return "wrong"

    def _must_wait(self, address: str) -> bool:
        now = self._now()
        while self._wrong and now - self._wrong[0][0] >= TRIES_ALL_S:
            self._wrong.popleft()
        if len(self._wrong) >= TRIES_ALL:
            return True
        own = [at for at, by in self._wrong if by == address and now - at < TRIES_EACH_S]
        return len(own) >= TRIES_EACH

    def sign(self, person: str) -> str:
        """Return a pass for a person; empty until the phone has picked one."""
        body = f"{token_urlsafe(9)}.{urlsafe_b64encode(person.encode()).decode()}"
        return f"{body}.{self._mark(body)}"

    def person(self, shown: str | None) -> str | None:
        """Return whose pass this is, or None where this door never signed it."""
        body, _, mark = (shown or "").rpartition(".")
        if not body or not hmac.compare_digest(mark.encode(), self._mark(body).encode()):
            return None
        return urlsafe_b64decode(body.partition(".")[2]).decode()

    def _mark(self, body: str) -> str:
        return hmac.new(self._key, body.encode(), sha256).hexdigest()

    def invitation(self, host: str, port: int) -> str:
        """Return what to print when the server starts: address, code and QR code."""
        import segno  # Not every server is open.

        address = f"http://{reachable(host)}:{port}"
        drawn = io.StringIO()
        segno.make(f"{address}/join?key={self.token}", error="m").terminal(drawn, compact=True)
        return (
            f"Phones join at {address}\nJoin code: {self.code}\n"
            f"Or point a phone's camera at this:\n{drawn.getvalue()}"
        )


def door_key(file: Path) -> bytes:
    """Return the key that signs passes, kept beside the store so that phones stay joined."""
    try:
        key = file.read_bytes()
    except FileNotFoundError:
        key = b""
    if len(key) == KEY_BYTES:
        return key
    key = token_bytes(KEY_BYTES)
    file.unlink(missing_ok=True)
    with os.fdopen(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as kept:
        kept.write(key)
    return key


def reachable(host: str) -> str:
    """Return the address that a phone can use: of all addresses, the one towards the network."""
    address = ip_address(host)
    if address.is_unspecified:
        # Connecting a datagram socket sends nothing; it only asks which way packets would go.
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
            try:
                asking.connect(("192.0.2.1", 9))
                return str(asking.getsockname()[0])
            except OSError:
                return socket.gethostname()
    return f"[{address}]" if address.version == 6 else str(address)
