"""QR codes for labels, kept by address: making one takes longer than drawing it."""

import base64
from functools import lru_cache
from io import BytesIO

LEVEL = "m"
KEPT = 4096


@lru_cache(maxsize=KEPT)
def code(address: str) -> str:
    """Return the QR code of an address as a `data:` address of a picture, a pixel a module.

    The quiet zone of four modules is part of it (ISO/IEC 18004); level M bears a smudge.
    """
    import segno

    drawn = BytesIO()
    segno.make_qr(address, error=LEVEL).save(drawn, kind="png", scale=1, border=4)
    return f"data:image/png;base64,{base64.b64encode(drawn.getvalue()).decode('ascii')}"
