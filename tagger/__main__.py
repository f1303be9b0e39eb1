"""`python -m tagger`."""

from tagger.cli import program

program()
