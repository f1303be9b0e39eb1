"""`--schema`: the JSON Schema of what a command prints."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import Any

from tagger.services.console import out_text


class ShowSchema(argparse.Action):
    """--schema: prints it and ends the program."""

    def __init__(self, option_strings: Sequence[str], dest: str, **more: Any) -> None:
        super().__init__(option_strings, dest, nargs=0, default=argparse.SUPPRESS, **more)

    def __call__(
        self, parser: argparse.ArgumentParser, given: object, values: object, option: object = None
    ) -> None:
        """Print and leave."""
        from tagger.services.guide.json_schemas import schema_text

        # An action, so that no FOLDER is asked for beside it. The parser is the verb's own.
        out_text(schema_text(parser.prog.rpartition(" ")[2]))
        parser.exit()
