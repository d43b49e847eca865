"""What the store refuses, each with a sentence for a person; nothing of it is stored."""

from pathlib import Path


class Refusal(Exception):
    """Something that cannot be done as asked; `words` says why and what next."""

    def __init__(self, words: str) -> None:
        super().__init__(words)
        self.words = words


class NotThere(Refusal):
    """What was asked for is not in the store (any more)."""


class Begun(Refusal):
    """The published plan has begun, so this can no longer be done."""


class OutOfDate(Refusal):
    """The plan was worked out from facts that have changed since."""


class Conflict(Refusal):
    """Somebody else changed the same value meanwhile.

    `field` names it; `theirs` is what is stored now, by whom `by`; `yours` is what was wanted.
    """

    def __init__(self, words: str, *, field: str, theirs: object, yours: object, by: str) -> None:
        super().__init__(words)
        self.field, self.theirs, self.yours, self.by = field, theirs, yours, by


class StoreTrouble(Exception):
    """The store cannot be used just now; `words` says why and what next."""

    def __init__(self, words: str) -> None:
        super().__init__(words)
        self.words = words


class DiskFull(StoreTrouble):
    """There is no room left to write."""


class NoFolder(StoreTrouble):
    """The folder or the file of the store can't be read or written."""


def no_folder(path: Path) -> NoFolder:
    """Return the trouble with a file that can't be written."""
    return NoFolder(
        f"{path} can't be written. Nothing of this was stored. Give this user the right to write "
        "in its folder, or choose another folder."
    )


class StoreLocked(StoreTrouble):
    """Another program holds the store."""


class StoreDamaged(StoreTrouble):
    """The file is no store, or its content is broken."""


class StoreTooNew(StoreTrouble):
    """The store was written by a newer version of the program."""


class NoStore(StoreTrouble):
    """No store is open."""
