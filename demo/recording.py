"""The pictures of the README, made from the program itself: the demo's typist tags the drawn demo
lot in a pseudo-terminal, and the screen is drawn cell by cell.

What is shown is real; only the pace is composed, so that a key can be followed by eye."""

from __future__ import annotations

import csv
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from PIL import Image
from screen_picture import ScreenPicture
from support.terminal import Terminal
from typist import ENTER, Card, Typist

HERE = Path(__file__).resolve().parent
DRAWN = HERE / "drawn" / "recording"
TAGGER = [sys.executable, "-m", "tagger"]
COLUMNS, ROWS = 100, 30
BESIDE = 130  # columns from which pictures stand beside the cards that are found
SMALL, LARGE = 13, 14  # pixels of the font: of the recording, of the stills
FIRST, LAST = 36, 42  # the cards that are recorded: two parallels, serial numbers, a new row
# What the feeder gets wrong in the second lot: a back that was never fed, and some upside down.
UNFED = ("scan_0082.jpg",)
TURNED = tuple(f"scan_{number:04d}.jpg" for number in range(100, 108, 2))
LARGEST = 1_500_000  # bytes of the recording
LONGEST = 16.0  # seconds
F12 = "\x1b[24~"
LEFT, RIGHT, UP, DOWN = (f"\x1b[1;5{letter}" for letter in "DCAB")  # with Ctrl: of the loupe
# To the corner of the back, and from there onto the number of the cards that are recorded.
TO_THE_NUMBER = (*[LEFT, UP] * 40, *[DOWN] * 2, RIGHT)
# Seconds that a frame stays: a letter typed, what is read before Enter, the next card.
LETTER, READ, NEXT = 0.11, 0.75, 0.3


class Recorder(Typist):
    """A typist whose every key is seen. `frames` are pictures with the seconds that they stay."""

    def __init__(self, terminal: Terminal, drawn: ScreenPicture) -> None:
        super().__init__(terminal)
        self._drawn = drawn
        self.recording = False
        self.frames: list[tuple[Image.Image, float]] = []

    def tag(self, card: Card, position: int) -> None:
        """As a typist does; the next card is seen before its first key."""
        super().tag(card, position)
        # full colours come when the keys have been quiet for a quarter of a second
        self._frame(NEXT, quiet=0.5)

    def show(self, position: int) -> None:
        """The card as it comes, before any key."""
        self.terminal.wait_for(rf"card {position} of")
        self._frame(1.0, quiet=0.5)

    def _type(self, text: str) -> None:
        if not self.recording:
            super()._type(text)
            return
        for letter in text:
            super()._type(letter)
            self._frame(LETTER)

    def _press(self, key: str) -> None:
        if key == ENTER or len(key) == 1:
            self._frame(READ)
        super()._press(key)

    def _frame(self, seconds: float, quiet: float = 0.12) -> None:
        if self.recording:
            began = time.monotonic()
            self.terminal.settle(quiet)
            self.frames.append((self._drawn.image(self.terminal.screen), seconds))
            # in the program's own time too: the pace in its top line is the one that is seen
            time.sleep(max(0.0, seconds - (time.monotonic() - began)))


def main() -> int:
    """Draw the lot, record, and take the two stills."""
    shutil.rmtree(DRAWN, ignore_errors=True)
    homes = ("CONFIG", "DATA", "STATE", "CACHE")
    os.environ |= {f"XDG_{name}_HOME": str(DRAWN / "xdg" / name.lower()) for name in homes}
    print("drawing the lot ...", flush=True)
    subprocess.run([*TAGGER, "demo", str(DRAWN)], check=True, stdout=subprocess.DEVNULL)
    with (DRAWN / "truth.csv").open(encoding="utf-8", newline="") as file:
        truth = list(csv.DictReader(file))
    lot = DRAWN / "box12"
    (DRAWN / "lot").rename(lot)

    print("tagging it ...", flush=True)
    frames = record(lot, truth)
    save(frames, HERE / "recording.gif")
    print("looking for a card ...", flush=True)
    still = ScreenPicture(LARGE)
    still.image(found()).save(HERE / "find.png", optimize=True)
    print("feeding it badly ...", flush=True)
    still.image(problems(lot)).save(HERE / "problems.png", optimize=True)
    for name in ("recording.gif", "find.png", "problems.png"):
        print(f"{(HERE / name).stat().st_size:>9,} bytes  demo/{name}")
    seconds = sum(stays for _, stays in frames)
    print(f"{seconds:.1f} seconds, {len(frames)} frames")
    too_much = (HERE / "recording.gif").stat().st_size > LARGEST or seconds > LONGEST
    return 1 if too_much else 0


def opened(*argv: str, columns: int = COLUMNS) -> Terminal:
    """The program in a terminal that shows all colours."""
    return Terminal([*TAGGER, *argv], columns=columns, rows=ROWS, env={"COLORTERM": "truecolor"})


def lists() -> Iterator[str]:
    """The options that name the demo's checklists."""
    for path in sorted((DRAWN / "checklists").iterdir()):
        if path.suffix in (".csv", ".txt"):
            yield f"--checklist={path}"


def record(lot: Path, truth: list[Card]) -> list[tuple[Image.Image, float]]:
    """Tag the lot, and record some cards of it, in a sitting of their own."""
    with opened("open", str(lot), *lists()) as terminal:
        recorder = Recorder(terminal, ScreenPicture(SMALL))
        for position, card in enumerate(truth[: FIRST - 1], start=1):
            recorder.tag(card, position)
        for key in TO_THE_NUMBER:
            terminal.send(key)
        terminal.settle()
        leave(terminal)
    with opened("open", str(lot)) as terminal:
        recorder.terminal, recorder.recording = terminal, True
        recorder.show(FIRST)
        for position, card in enumerate(truth[FIRST - 1 :], start=FIRST):
            recorder.tag(card, position)
            recorder.recording = position < LAST
        leave(terminal)
    return recorder.frames


def leave(terminal: Terminal) -> None:
    """Leave the desk."""
    terminal.send("\x18")
    terminal.wait_exit()


def found() -> object:
    """The screen that finds while one types."""
    with opened("find", columns=BESIDE) as terminal:
        terminal.settle(0.5)
        terminal.send("marsh")
        terminal.wait_for("Marsh|MARSH")
        terminal.settle(1.0)
        return terminal.screen


def problems(lot: Path) -> object:
    """The desk at a scan problem of a lot that was fed badly: a back is missing, and some sides
    lie upside down."""
    bad = lot.with_name("box13")
    bad.mkdir(exist_ok=True)
    scans = [path for path in sorted(lot.glob("*.jpg")) if path.name not in UNFED]
    for number, path in enumerate(scans, start=1):
        target = bad / f"scan_{number:04d}.jpg"
        if path.name in TURNED:
            with Image.open(path) as scan:
                turned = scan.transpose(Image.Transpose.ROTATE_180)
                turned.save(target, dpi=scan.info["dpi"])
        else:
            shutil.copy(path, target)
    # measured beforehand: the desk leaves that to the moments when no key is pressed
    subprocess.run([*TAGGER, "audit", str(bad)], check=False, stdout=subprocess.DEVNULL)
    with opened("open", str(bad), *lists()) as terminal:
        terminal.wait_for(r"(?m)\A.*F12", 120)
        terminal.send(F12)
        terminal.settle(1.5)
        return terminal.screen


def save(frames: list[tuple[Image.Image, float]], path: Path) -> None:
    """An animated GIF in one palette, so that only what changed takes room."""
    palette = one_palette([image for image, _ in frames])
    pictures = [image.quantize(palette=palette, dither=Image.Dither.NONE) for image, _ in frames]
    first, *rest = pictures
    first.save(
        path,
        save_all=True,
        append_images=rest,
        duration=[round(seconds * 1000) for _, seconds in frames],
        loop=0,
        optimize=True,  # what stays the same is transparent
        disposal=1,
    )


def one_palette(images: list[Image.Image]) -> Image.Image:
    """The colours of a recording, of some of its pictures beside each other."""
    some = images[:: max(1, len(images) // 12)]
    width, height = some[0].size
    wall = Image.new("RGB", (width, height * len(some)))
    for at, image in enumerate(some):
        wall.paste(image, (0, at * height))
    return wall.quantize(255, method=Image.Quantize.MEDIANCUT)


if __name__ == "__main__":
    sys.exit(main())
