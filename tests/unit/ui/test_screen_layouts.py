"""Each state of the desk, drawn at each size: no word that matters is cut, and no hole of empty
rows stands in the middle."""

from __future__ import annotations

import asyncio

import pytest
from support import drawn_desk
from support.at_night import at_night
from support.drawn_desk import (
    LIGHT,
    NOTE,
    PLACE,
    SISTER,
    SIZES,
    session_at_work,
    settled,
    sitting,
    text_of,
)
from support.quiet_desk import box_text
from textual.pilot import Pilot

from tagger.ui.desk.welcome import HEAD

Sizes = tuple[tuple[int, int], ...]
# the narrowest, that with the least height for its columns, the widest: what is cut, is cut there
MOST_UNLIKE: Sizes = ((80, 24), (120, 39), (200, 60))
OWN = ("Near Mint", f"place: {PLACE}", LIGHT)
# words that stand whole, over as many lines of the panel as they need
PANEL = {
    "tagged": ("Enter keeps it as it is", "#5 FENN WIMUNA", f"note: {NOTE}", *OWN),
    "correction": (
        "Enter changes this card", "#2 CYR NORETT", "Gold 12/99 · Near Mint", LIGHT,
        "condition: Near Mint → Excellent", f"place: {PLACE} → box 4, row 1",
    ),
    "set aside": ("set aside: crease over the whole card, ask about it",),
    "review": ("in review, 2 left", "crease over the whole card, ask about it"),
    "unlisted": ("#77 SOMEBODY UNHEARD-OF", "in no checklist; #77 is out of sequence", *OWN),
    "no match": ("Enter does nothing", "No checklist card matches. F4 tags it as typed."),
    "refused": (
        "Enter does not accept", "#3 DELA LUND", LIGHT,
        "Gold is numbered to 99: 120 is above the print run of 99.",
    ),
    "waits": ("F5 carries it for the next 60 cards.",),
    "alike": ("Enter accepts", "like card 2", "Card 2 is Gold. Is this one too?", "#2 CYR NORETT"),
    "findings": (
        "Enter rotates this side 180°", "problem 1 of 3 · card 2 · upside down",
        "scan_0004.jpg seems to stand on its head, by its print and by its lot-mates of the set.",
        "Not certain: check the card before you press Enter.", "Turn it by 180 degrees.",
    ),
    "end": ("End of the lot: 12 still untagged; Tab goes to the first.", "12 untagged"),
    "next": ("likely next", "#7 HANA HOLBY", "base · Near Mint", LIGHT, "for the next cards"),
    "candidates": ("Enter accepts", "sure", "#6 GIL TORWICK"),
    "four equal": ("1 of 4", "#210 HANA KASLEY", "1983 Mill Pond", "1984 Mill Pond", "or"),
    "sisters": ("1 of 9", "#123 IVO MARSH", SISTER.format(1), "Series 2"),
    "sisters seventh": ("7 of 9", "#123 IVO MARSH", SISTER.format(7), "Series 8"),
    "why": ("serial number not typed (12/99)", "#3 DELA LUND"),
}  # fmt: skip
# what stands in a line by itself, elsewhere on the screen
SCREEN = {
    "tagged": ("tagged: #5 Fenn Wimuna", "Ctrl+Z undoes", "Enter keep ·"),
    "set aside": ("Enter keep ·",),
    "big view": ("zoom back, scan_0006.jpg", "Enter close ·", "← ↑ ↓ → move", "F7 other side"),
    "overview": (
        "#5", "Fenn Wimuna", "Gold 12/99", "+ tagged  ! set aside  · untagged", "unlisted",
        "divider", "Enter go to card ·",
    ),
    "history": (
        "#77 Somebody Unheard-Of, base, Near Mint, unlisted, was", "was untagged", "was none",
        "Enter go to card ·",
    ),
    "why": ("Read as: 3: number · gold: parallel.",),
    "end": ("end of the lot", "F9 help"),
}  # fmt: skip
SIDES = tuple(state for state in PANEL if state != "end")
LARGEST_HOLE = 4  # rows


def panel_of(pilot: Pilot[None]) -> str:
    """The words of the panel with one space between them."""
    return " ".join(box_text(pilot.app, "panel").split())


def largest_hole(lines: list[str]) -> int:
    """The longest run of empty rows between rows that are not empty."""
    runs, run = [0], 0
    for line in "\n".join(lines).strip("\n").split("\n"):
        run = 0 if line.strip() else run + 1
        runs.append(run)
    return max(runs)


def check(state: str, pilot: Pilot[None]) -> None:
    width, height = pilot.app.size
    lines = text_of(pilot.app)
    told = "\n".join(lines)
    assert len(lines) == height
    for words in PANEL.get(state, ()):
        assert words in panel_of(pilot), f"{words!r} at {width}x{height}:\n{told}"
    for words in SCREEN.get(state, ()):
        assert words in told, f"{words!r} at {width}x{height}:\n{told}"
    # whole words at the end of the keys: what leads out is always there
    assert lines[-1].rstrip().endswith(("leave", "help", "close", "return")), told
    assert "…" not in lines[-1]
    assert "box 12  card " in lines[0] or "box 12  end of the lot" in lines[0]
    if state in SIDES:
        left = pilot.app.screen.query_one("#right").region.x
        pictures = [line[:left] for line in lines[1:-3]]
        assert largest_hole(pictures) <= LARGEST_HOLE, told


@pytest.mark.parametrize("sizes", [MOST_UNLIKE, at_night(SIZES)], ids=["three", "all"])
@pytest.mark.parametrize("state", drawn_desk.STATES)
def test_nothing_that_matters_is_cut_at_any_size(state: str, sizes: Sizes):
    async def sit() -> None:
        async with sitting(state, sizes[0]) as pilot:
            check(state, pilot)
            for size in sizes[1:]:
                await pilot.resize_terminal(*size)
                await settled(pilot)
                check(state, pilot)

    asyncio.run(sit())


def test_after_a_resize_a_known_card_never_stands_alone():
    """Beside the front where both sides are seen; where one is, the card in front."""

    async def sit() -> None:
        async with sitting("alike", (120, 40)) as pilot:
            for size, known in (((120, 40), True), ((80, 24), False), ((120, 39), True)):
                await pilot.resize_terminal(*size)
                await settled(pilot)
                titles = text_of(pilot.app)[1]
                assert "front scan_0017.jpg" in titles
                assert ("card 2? scan_0003.jpg" in titles) == known
            await pilot.press("f7", "f7")
            await settled(pilot)
            assert "card 2?" not in text_of(pilot.app)[1]

    asyncio.run(sit())


def test_advice_is_wrapped_whatever_it_pushes_away():
    said = (
        "The lot cannot be written to: the disk is full. Free some space, then press Ctrl+Z and "
        "do the last card again; until then nothing is kept, and the copy in "
        "/a/very/long/folder/that/has/no/spaces/in/its/name/and/goes/on/and/on/for/ever/box-12.copy"
        " is the newest one that is whole."
    )

    async def sit() -> None:
        async with sitting("next", (80, 24)) as pilot:
            drawn_desk.parts_of(pilot).message.say(said, alarm=True)
            drawn_desk.parts_of(pilot).painting.later()
            await settled(pilot)
            shown = "".join("".join(text_of(pilot.app)).split())
            assert "".join(said.split()) in shown
            assert text_of(pilot.app)[-1].rstrip().endswith("leave")
            await pilot.press("7")
            await settled(pilot)
            assert "last: card 8" in text_of(pilot.app)[-4]

    asyncio.run(sit())


@pytest.mark.parametrize("proposed", [False, True])
def test_enter_accepts_nothing_behind_the_first_words(proposed: bool):
    """They stand until a key, whatever is proposed; Enter takes them away, and no more."""

    def nothing() -> None:
        pass

    async def sit() -> None:
        session = session_at_work()
        session.go(9 if proposed else 5)
        async with drawn_desk.drawn_desk(session, first_time=nothing).run_test(
            size=(80, 24)
        ) as pilot:
            await settled(pilot)
            assert HEAD in box_text(pilot.app, "panel")
            before = session.view.cursor.position
            mark = session.view.card_at(before).mark
            await pilot.press("enter")
            await settled(pilot)
            panel = box_text(pilot.app, "panel")
            assert ("Enter accepts" in panel, HEAD in panel) == (proposed, False)
            assert session.view.cursor.position == before
            assert session.view.card_at(before).mark == mark

    asyncio.run(sit())
