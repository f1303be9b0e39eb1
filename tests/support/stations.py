"""Stations of one shop, each with its own folders as if it were a machine, and one hub."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from support.folders import own_folders
from support.postgres import OWNER, PASSWORD, Server
from support.shop import lot_of
from tagger.cli import main
from tagger.core.model.tags import Tags
from tagger.store.hub.connection import connected
from tagger.store.hub.schema import set_up


class Station:
    """A machine called `name`."""

    def __init__(self, top: Path, name: str, url: str) -> None:
        self.top, self.name = top / name, name
        self.env = {**own_folders(self.top / "xdg"), "PGPASSWORD": PASSWORD}
        self.configure(url)

    def configure(self, url: str) -> None:
        """Name the hub in its settings."""
        folder = Path(self.env["XDG_CONFIG_HOME"]) / "tagger"
        folder.mkdir(parents=True, exist_ok=True)
        said = f'[hub]\nurl = "{url}"\nstation = "{self.name}"\n'
        (folder / "config.toml").write_text(said, encoding="utf-8")

    @contextmanager
    def here(self) -> Iterator[None]:
        """Be this machine within."""
        before = {name: os.environ.get(name) for name in self.env}
        os.environ.update(self.env)
        try:
            yield
        finally:
            for name, value in before.items():
                if value is None:
                    os.environ.pop(name, None)
                else:
                    os.environ[name] = value

    def lot(self, name: str, cards: Sequence[Tags]) -> Path:
        """A lot with these cards."""
        with self.here():
            return lot_of(self.top / name, cards)

    def run(self, *words: str) -> int:
        """A command in this process."""
        with self.here():
            return main(list(words))

    def start(self, *words: str) -> subprocess.Popen[str]:
        """A command in a process of its own."""
        return subprocess.Popen(
            [sys.executable, "-m", "tagger", *words],
            env={**os.environ, **self.env}, text=True,
            stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        )  # fmt: skip


class Shop:
    """A hub that is set up, and its stations, each with a user of its own."""

    def __init__(self, server: Server, top: Path, base: str, names: Sequence[str]) -> None:
        self.server, self.base = server, base
        self.url = server.new_base(base)
        os.environ["PGPASSWORD"] = PASSWORD
        with connected(self.url) as line:
            set_up(line)
        self.stations = [Station(top, name, self.user(name)) for name in names]

    def user(self, name: str, role: str = "tagger_publish") -> str:
        """Make a user with a role; the hub's URL for it."""
        with self.server.connect("postgres") as line:
            known = line.execute("SELECT FROM pg_roles WHERE rolname = %s", (name,)).fetchone()
            if known is None:
                line.execute(
                    f"CREATE ROLE \"{name}\" LOGIN PASSWORD '{_quoted(PASSWORD)}'".encode()
                )
            line.execute(f'GRANT {role} TO "{name}"'.encode())
        return self.server.url(self.base, name)

    def sql(self, query: str, *given: object) -> list[tuple[object, ...]]:
        """Ask the database itself, as its owner."""
        with self.server.connect(self.base, OWNER) as line:
            cursor = line.execute(query.encode(), given or None)
            return list(cursor) if cursor.description else []


def _quoted(text: str) -> str:
    return text.replace("'", "''")
