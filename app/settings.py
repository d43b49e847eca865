"""What a place can set, from the environment: `STAGELARDER_DATA`, `_PORT`, `_HOST`, `_EXAMPLE`."""

import os
from collections.abc import Mapping
from ipaddress import ip_address
from pathlib import Path
from typing import Literal, Self

from pydantic import BaseModel, ConfigDict, Field, ValidationError, field_validator

PREFIX = "STAGELARDER_"
_WANTED = {
    "data": "a folder",
    "port": "a whole number from 1 to 65535",
    "host": "an address of this machine, such as 127.0.0.1",
    "example": '"studio", "class" or "none"',
}


class BadSetting(ValueError):
    """A setting that makes no sense; its text is the sentence to show."""


class Settings(BaseModel):
    """Where the store lies, where the server listens, which example a fresh store gets."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    data: Path = Path("var")
    port: int = Field(default=8000, ge=1, le=65535)
    host: str = "127.0.0.1"
    example: Literal["studio", "class", "none"] = "studio"

    @field_validator("host")
    @classmethod
    def _is_an_address(cls, host: str) -> str:
        if host != "localhost":
            ip_address(host)
        return host

    @property
    def store(self) -> Path:
        """Return the file of the store."""
        return self.data / "stagelarder.sqlite"

    @property
    def is_open(self) -> bool:
        """Return whether others on the network can reach the server."""
        return self.host != "localhost" and not ip_address(self.host).is_loopback

    @classmethod
    def read(cls, environment: Mapping[str, str] = os.environ, **given: object) -> Self:
        """Return the settings of the environment; what is `given` and not None goes before them.

        Raises
        ------
        BadSetting
            If a value is malformed: one sentence that names it and says what it should be.
        """
        said: dict[str, object] = {
            name: environment[PREFIX + name.upper()]
            for name in cls.model_fields
            if environment.get(PREFIX + name.upper())
        }
        said |= {name: value for name, value in given.items() if value is not None}
        try:
            return cls.model_validate(said)
        except ValidationError as error:
            name = str(error.errors()[0]["loc"][0])
            called = PREFIX + name.upper() if given.get(name) is None else f"--{name}"
            raise BadSetting(f"{called} is {said[name]!r}, but must be {_WANTED[name]}.") from error
