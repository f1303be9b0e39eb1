"""What the program says outside the screens: answers on stdout, messages on stderr."""

from __future__ import annotations

import contextlib
import json
import os
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence

from tagger.core.model.counted import counted
from tagger.core.model.text import printable
from tagger.errors import TaggerError

FORMAT = 1  # of every JSON document; a change that an old reader would misread makes it 2
_quiet = False


class OutputLost(TaggerError):
    """Standard output cannot be written to: its reader is gone, or the disk is full."""


def be_quiet(quiet: bool) -> None:
    """Print no messages except errors from now on, or all again."""
    global _quiet
    _quiet = quiet


def is_quiet() -> bool:
    """Whether only errors are printed."""
    return _quiet


@contextlib.contextmanager
def whole_output() -> Iterator[None]:
    """What is printed within is written at its end. Raises OutputLost where it cannot be; nothing
    goes to stdout any more then."""
    stopped = False
    try:
        try:
            yield
        except KeyboardInterrupt:
            stopped = True  # and whoever does not read what was printed is not waited for
            raise
        finally:
            # Python would do it when it ends, and report a failure with a traceback.
            if not stopped:
                _flush()
    except OutputLost:
        with contextlib.suppress(OSError, ValueError, AttributeError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise


def print_json(document: Mapping[str, object]) -> None:
    """One JSON document on stdout, ASCII only, so that no locale can spoil it. Its format comes
    first."""
    _write(json.dumps({"format": FORMAT, **document}, indent=1) + "\n")


def tell(message: str) -> None:
    """A message for the user, on stderr."""
    if not _quiet:
        complain(message)


def complain(message: str) -> None:
    """An error, or what could not be done, on stderr."""
    if sys.stderr is None:  # closed before the program was started
        return
    with contextlib.suppress(OSError):  # the terminal may be gone
        # A file's name may have control characters, which a terminal would obey.
        print(printable(message, 2000), file=sys.stderr)


def out(line: str) -> None:
    """A line of the answer, on stdout. Raises OutputLost."""
    out_text(printable(line, 2000) + "\n")


def out_lines(lines: Iterable[str]) -> None:
    """Lines of the answer, on stdout. Raises OutputLost."""
    for line in lines:
        out(line)


def out_text(text: str) -> None:
    """Text on stdout as it stands. A letter that the locale does not have is a question mark, and
    no traceback. Raises OutputLost."""
    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    _write(text.encode(encoding, "replace").decode(encoding))


def out_bytes(data: bytes) -> None:
    """Bytes on stdout, whatever the locale. Raises OutputLost."""
    _write("")  # raises where stdout was closed before the program was started
    _flush()
    with written():
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()


@contextlib.contextmanager
def written() -> Iterator[None]:
    """For what writes to stdout by itself. Raises OutputLost where it cannot."""
    try:
        yield
    except BrokenPipeError:
        raise OutputLost("The output was cut short: the program that read it has ended.") from None
    except OSError as error:
        raise OutputLost(f"The output cannot be written: {error.strerror}.") from None


def asked(question: str) -> bool:
    """Whether the user answers a question with yes; no where nobody sees it."""
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return False
    # On stderr: stdout may go into a file.
    print(f"{question} y or n: ", end="", file=sys.stderr, flush=True)
    return sys.stdin.readline().strip().lower() in ("y", "yes")


def complain_first(messages: Sequence[str], most: int, one: str, several: str) -> None:
    """The first of some errors, at most so many, and how many others there are: `one` says it of
    one (`more row is wrong`), `several` of more."""
    for message in messages[:most]:
        complain(message)
    if len(messages) > most:
        complain(f"{counted(len(messages) - most, one, several)}.")


def _write(text: str) -> None:
    if sys.stdout is None:  # closed before the program was started
        raise OutputLost("Standard output is closed.")
    with written():
        sys.stdout.write(text)


def _flush() -> None:
    with written():
        if sys.stdout is not None:
            sys.stdout.flush()
