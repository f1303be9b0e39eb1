"""The terminal: thin screens over the rules. Import a screen only where a terminal is wanted."""

import os

# Textual reads these when it is imported, which is after this package: half the time from key to
# screen.
os.environ.setdefault("TEXTUAL_FPS", "240")
os.environ.setdefault("TEXTUAL_ANIMATIONS", "none")
