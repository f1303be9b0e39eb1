"""The command line: one command is run, and what stops it becomes one sentence and an exit status.

Each function loads what it needs itself: the start of every command would pay for it here.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

from tagger import __version__

if TYPE_CHECKING:
    import argparse

FIRST_STEPS = """Tag scanned trading cards by keyboard.

  tagger open FOLDER --checklist FILE   start with a folder of scans; FILE can be a folder too
  tagger open FOLDER                    continue later
  tagger export FOLDER --to FILE.csv    write the inventory
  tagger demo                           draw invented cards to try it on
  tagger lots                           list the lots opened on this machine
  tagger --help                         list all commands
  tagger COMMAND --help                 list the options of one
"""

_ONLY_READ = ("match", "find", "sets", "value", "status", "lots")


def program() -> None:
    """The program from its start to its end, with whatever stops it."""
    if sys.argv[1:] == ["--version"]:
        sys.exit(main())
    from tagger.errors import FAILED
    from tagger.services.garbage import collected_once_it_runs
    from tagger.services.stops import Stops

    collected_once_it_runs()
    stops, status = Stops(), FAILED
    try:
        stops.heed()
        status = main()
    except KeyboardInterrupt:  # before or behind what `main` heeds
        _say_stopped()
    except Exception:
        # a module in C that is just being loaded turns the stop into an error of its own
        if not stops.asked:
            raise
        _say_stopped()
    finally:
        stops.over()
    if stops.asked:
        # without waiting for threads, or for whoever reads what was printed
        os._exit(status)
    sys.exit(status)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    given = list(sys.argv[1:] if argv is None else argv)
    if given == ["--version"] and _version():
        return 0
    # What cannot be written there is said below, with the words for it.
    from tagger.errors import FAILED
    from tagger.services.console import OutputLost, complain, whole_output

    try:
        with whole_output():
            return _command(given) if given else _first_steps()
    except OutputLost as error:
        complain(f"tagger: {error.message}")
        return error.exit_status
    except KeyboardInterrupt:
        _say_stopped()
        return FAILED


def _say_stopped() -> None:
    from tagger.services.console import complain

    # a command that decodes no picture does not load what keeps decoders quiet
    decoding = sys.modules.get("tagger.imaging.scan.decoder_words")
    if decoding is not None:
        decoding.give_screen_back()
    complain("tagger: stopped.")


def _version() -> bool:
    """Print the version; False where it cannot be written."""
    # Scripts ask for it before anything else, and it needs nothing else.
    try:
        print(f"tagger {__version__}", flush=True)
    except OSError:
        return False
    return True


def _first_steps() -> int:
    from tagger.errors import USAGE
    from tagger.services.console import out_lines

    out_lines(FIRST_STEPS.splitlines())
    return USAGE


def _command(given: Sequence[str]) -> int:
    from tagger.commands.grammar import VERBS, parser

    first = given[0]
    if first in VERBS:
        # Only its own module is loaded: with all of them each command would start later.
        return _run(parser([first]), given)
    if first.startswith("-"):
        return _run(parser(), given)
    return _unknown(first, tuple(VERBS))


def _unknown(word: str, verbs: tuple[str, ...]) -> int:
    from tagger.core.model.suggestions import nearest
    from tagger.core.model.text import printable
    from tagger.errors import USAGE
    from tagger.services.console import complain

    more = "tagger --help lists all commands."
    if os.path.isdir(word):
        more = f"to open that folder: tagger open {printable(word, 200)}"
    elif near := nearest(word, verbs):
        more = f"did you mean {near}?"
    complain(f"tagger: unknown command '{printable(word, 60)}'; {more}")
    return USAGE


def _run(grammar: argparse.ArgumentParser, words: Sequence[str]) -> int:
    """Run what was asked for; whatever stops it becomes one sentence and an exit status. What is
    wrong with a lot that was read is told whatever the command says."""
    from tagger.errors import Crashed, TaggerError
    from tagger.services.console import OutputLost, be_quiet, complain
    from tagger.services.garbage import begun

    given = grammar.parse_args(words)
    begun()
    be_quiet(given.quiet)
    _troubles()  # of what was read before in the same process nothing is to be told
    try:
        return _troubles_told(_done(given))
    except OutputLost:
        raise
    except TaggerError as error:
        if isinstance(error, Crashed):
            _forget_caches()  # they may be what it crashed of, and would be again
        for message in error.messages:
            complain(f"tagger: {message}")
        return _troubles_told(error.exit_status, error.message)


def _done(given: argparse.Namespace) -> int:
    """Run it. Where what was kept in caches may be what it failed by, that is let go, and what only
    reads is run once more: what had begun to change something is not done twice."""
    from tagger.errors import Crashed, TaggerError
    from tagger.services.console import OutputLost

    try:
        return int(given.run(given))
    except (TaggerError, OutputLost):
        raise
    except Exception as error:
        if not _forget_caches():
            raise
        if given.command not in _ONLY_READ:
            raise Crashed(
                "A file in tagger's cache could not be used; it was deleted. Look at what was "
                "done, and run the command again."
            ) from error
    return int(given.run(given))


def _forget_caches() -> bool:
    """Whether there were any that had been read."""
    kept = sys.modules.get("tagger.store.caches.index_cache")
    return kept is not None and bool(kept.forget_used())


def _troubles_told(status: int, said: str = "") -> int:
    """Tell what is wrong with the lots that were read, but for what was `said`; the exit status,
    raised where something is."""
    from tagger.errors import ATTENTION
    from tagger.services.console import complain

    told = _troubles()
    for home, trouble in told:
        if trouble not in said:
            complain(f"{home}: {trouble}.")
    return max(status, ATTENTION) if told else status


def _troubles() -> list[tuple[str, str]]:
    # a command that reads no lot does not load what reads them
    noted = sys.modules.get("tagger.store.lot.troubles")
    return noted.told_troubles() if noted is not None else []
