"""The peer: the least that a Textual app can be. Shows one line, and a new one for each key."""

from textual.app import App, ComposeResult
from textual.events import Key
from textual.widgets import Static


class Bare(App[None]):
    """One line of text."""

    keys = 0

    def compose(self) -> ComposeResult:
        yield Static("READY")

    def on_key(self, event: Key) -> None:
        self.keys += 1
        self.query_one(Static).update(f"READY {self.keys} {event.character}")


if __name__ == "__main__":
    Bare().run()
