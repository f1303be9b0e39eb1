"""The program, but finer colours come after two seconds without a key: a machine that is busy for a
moment between two keys of a test does not pass for a dealer who looks."""

from __future__ import annotations

import sys

from tagger.cli import main
from tagger.ui.terminal import frame_scheduler

if __name__ == "__main__":  # processes that work behind a desk load this file as well
    frame_scheduler.QUIET = 2.0
    sys.exit(main())
