"""The one error family: each says what happened and, where it can, what to do about it.

A message is one sentence in the dealer's words, ready to be printed as it stands. File names and
other text that came from outside must have gone through `tagger.core.model.text.printable` before
they get here."""

from __future__ import annotations

# What plain values raise (of JSON, of a table) that are read as something that they are not; deep
# nesting and numbers without an end are among them.
MALFORMED = (
    ValueError, KeyError, TypeError, AttributeError, IndexError, OverflowError, RecursionError,
)  # fmt: skip

# Exit statuses. Scripts read them, so `tagger --help` names them; 2 is what argparse ends with.
DONE, ATTENTION, USAGE, FAILED = 0, 1, 2, 3


class TaggerError(Exception):
    """Something could not be done; `str(error)` is the sentence to show. Exit status 3."""

    exit_status = FAILED

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message

    @property
    def messages(self) -> tuple[str, ...]:
        """What to show, a sentence a line."""
        return (self.message,)


class UsageError(TaggerError):
    """The command was called in a way that cannot work. Exit status 2."""

    exit_status = USAGE


class UsageErrors(UsageError):
    """Several things are wrong at once; `messages` has a sentence for each."""

    def __init__(self, messages: tuple[str, ...]) -> None:
        super().__init__("\n".join(messages))
        self._messages = messages

    @property
    def messages(self) -> tuple[str, ...]:
        """What to show, a sentence a line."""
        return self._messages


class ConfigError(UsageError):
    """The settings file has an entry that cannot be used; the message names it."""


class LotError(TaggerError):
    """A lot's folder or document could not be opened, read or written."""


class NoScans(LotError):
    """A folder that was named as a lot holds no picture that can be read. `shown` is the lot's name
    or its folder, printable."""

    def __init__(self, shown: str) -> None:
        super().__init__(
            f"{shown} has no scans (JPEG, PNG, TIFF, WebP or BMP); name the folder that has them."
        )


class LockedError(LotError):
    """Another running program holds the lot; the message says who and since when."""


class NotSaved(LotError):
    """A change could not be written; nothing was changed, in memory or on disk."""


class HubError(TaggerError):
    """The hub did not do what was asked of it; nothing was changed there."""


class HubDown(HubError):
    """The hub cannot be reached, or the line to it broke."""


class PictureError(TaggerError):
    """A scan could not be shown; the message names the file and the reason."""


class ReadingError(TaggerError):
    """Cards cannot be read on this machine; the message says what to install or to correct."""


class Refused(TaggerError):
    """What was asked for cannot be a right tag, or is not possible here; nothing was changed."""


class Misread(Refused):
    """Words that were typed to have something done say nothing that can be. Exit status 2."""

    exit_status = USAGE


class Crashed(TaggerError):
    """The program had an error of its own."""
