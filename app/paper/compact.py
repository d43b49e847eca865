"""A PDF in writing that keeps what is finished as bytes, so that a large one stays small in memory.

The writer holds each element of the structure of a tagged PDF as a dictionary until the end, some
thirty of them a label; and for each it tells the places of all pages anew.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any
from zlib import compressobj

import pydyf  # type: ignore[import-untyped]

# As the writer presses.
PRESSED = 9


class Settled:
    """An object of a PDF that nothing changes any more, as it is written."""

    __slots__ = ("data", "number", "offset")
    free, generation, compressible = "n", 0, True

    def __init__(self, object_: Any) -> None:
        self.number, self.offset, self.data = object_.number, 0, bytes(object_.data)

    @property
    def indirect(self) -> bytes:
        """Return the object as it stands outside a stream of objects."""
        return b"%d 0 obj\n%b\nendobj" % (self.number, self.data)


class Compact(pydyf.PDF):  # type: ignore[misc]
    """A PDF in writing."""

    def __init__(self) -> None:
        super().__init__()
        self._settled = 0
        self._references: tuple[bytes, ...] = ()

    @property
    def page_references(self) -> tuple[bytes, ...]:
        """Return what tells each page; made once for as many as there are."""
        if len(self._references) != self.pages["Count"]:
            self._references = super().page_references
        return self._references

    def settle(self) -> None:
        """Take it that nothing changes the elements of the structure since the last time."""
        count = len(self.objects)
        if not self._settled:
            self._pack()
        for at in range(self._settled or count, count):
            each = self.objects[at]
            if isinstance(each, pydyf.Dictionary) and each.get("Type") == "/StructElem":
                self.objects[at] = Settled(each)
        self._settled = count

    def _pack(self) -> None:
        """Press what is painted, as the writer would at the very end."""
        for each in self.objects:
            if isinstance(each, pydyf.Stream) and each.compress:
                told = b"\n".join(map(pydyf._to_bytes, each.stream))
                press = compressobj(level=PRESSED)
                each.stream = [press.compress(told) + press.flush()]
                each.extra = {**each.extra, "Filter": "/FlateDecode"}
                each.compress = False


@contextmanager
def compact() -> Iterator[Callable[[], None]]:
    """Have the next PDF written as a `Compact`; yield what settles it."""
    usual, made = pydyf.PDF, Compact()
    pydyf.PDF = lambda: made
    try:
        yield made.settle
    finally:
        pydyf.PDF = usual
