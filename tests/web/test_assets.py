"""What lies in `static/`."""

from hashlib import sha256
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from app.web.assets import STATIC, address

# Measured when it was chosen: htmx.min.js and ext/hx-sse.min.js of htmx 4.0.1.
HTMX = {
    "htmx/htmx.min.js": "a0abb04f2f45a1f89d1d4844023245537e5e6014c87b144553e0607b4cc32130",
    "htmx/hx-sse.min.js": "18ef2761356ec1fe0bb6d92612315b37517a7c1e9856b661c5ae81fef239d103",
}


def _sums(vendor: Path) -> dict[str, str]:
    lines = (vendor / "SHA256SUMS").read_text("utf-8").splitlines()
    return {name: digest for digest, name in (line.split("  ", 1) for line in lines)}


@pytest.mark.parametrize("vendor", [STATIC / "vendor", STATIC.parent / "tests/browser/vendor"])
def test_what_others_made_is_what_it_was(vendor: Path) -> None:
    """Every vendored file has its sum, and each folder its licence."""
    found = {
        str(file.relative_to(vendor)): sha256(file.read_bytes()).hexdigest()
        for file in vendor.rglob("*")
        if file.is_file() and file.name != "SHA256SUMS"
    }
    assert found == _sums(vendor)
    assert all((folder / "LICENSE").is_file() for folder in vendor.iterdir() if folder.is_dir())


def test_htmx_is_the_one_that_was_measured() -> None:
    """Its habits change between releases."""
    assert _sums(STATIC / "vendor").items() >= HTMX.items()


def test_an_address_with_a_mark_is_kept_for_ever(client: TestClient) -> None:
    """Without the mark of its content it is asked for again."""
    assert "immutable" in client.get(address("site.css")).headers["Cache-Control"]
    assert client.get("/static/site.css").headers["Cache-Control"] == "public, no-cache"


def test_nothing_outside_is_handed_out(client: TestClient) -> None:
    """However the path is written."""
    for path in ("../pyproject.toml", "%2e%2e/pyproject.toml", "..%2fpyproject.toml", "", "none"):
        assert client.get(f"/static/{path}").status_code == 404
