"""A list grows out of what was tagged, and tags follow a list that was corrected."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.listed import listed_lot
from support.shop import lot_of

from tagger.cli import main
from tagger.config import Settings
from tagger.core.model.tags import Tags
from tagger.services.lot_places import place_of_folder
from tagger.services.opening import change
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.known_lists import KnownLists, lists_now
from tagger.store.read_lists import read_checklist

LIST = """set,number,subject,team,parallels
1987 Harbor Light,1,Ivo Lund,Gulls,Gold /50
1987 Harbor Light,2,Ada Marsch,Gulls,Gold /50
1987 Harbor Light,3,Bo Tern,Gulls,Gold /50
1987 Harbor Light,4,Al Gray,Gulls,Gold /50
1987 Harbor Light,5,Hana Pell,Gulls,Gold /50
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Cards 1 to 5 of the list, the second a Gold 7/50, and one that no list has."""
    hints = ("1", "2 gold 7/50", "3", "4", "5")
    return listed_lot(tmp_path, LIST, 8, hints).folder


def _tags(folder: Path) -> list[Tags]:
    lot = read_lot(folder)
    return [lot.mark(pair.id).tags for pair in lot.arrangement.pairs[:6]]


def _told(tags: Tags) -> str:
    return f"{tags.set} {tags.title} {tags.parallel} {tags.serial}".strip()


def test_tags_follow_a_corrected_list_as_one_change(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A name and a number corrected, a row gone, two rows that one card could be: what is beyond
    doubt is changed when that is wanted, all else told; one undo reverts it."""
    corrected = LIST.replace("Marsch", "Marsh").replace(",3,Bo", ",13,Bo")
    corrected = corrected.replace("1987 Harbor Light,4,Al Gray,Gulls,Gold /50\n", "")
    corrected = (
        corrected.replace(",5,Hana Pell", ",15,Hana Pell") + "1987 Harbor Light,5,Cy Orr,,\n"
    )
    (folder.parent / "harbor.csv").write_text(corrected)
    before = _tags(folder)

    assert main(["checklist", "--reread", str(folder)]) == 1
    printed = capsys.readouterr()
    assert printed.out.splitlines() == [
        'box, card 2: subject "Ada Marsch" → "Ada Marsh"',
        'box, card 3: number "3" → "13"',
        "box, card 4: the lists have no #4 Al Gray any more; not changed",
        "box, card 5: the lists have no #5 Hana Pell any more; not changed",
    ]
    assert "nothing was changed. Say --yes" in printed.err
    assert _tags(folder) == before

    assert main(["checklist", "--reread", "--yes", str(folder)]) == 1
    assert [_told(tags) for tags in _tags(folder)[1:5]] == [
        "1987 Harbor Light #2 Ada Marsh Gold 7/50",
        "1987 Harbor Light #13 Bo Tern",
        "1987 Harbor Light #4 Al Gray",
        "1987 Harbor Light #5 Hana Pell",
    ]
    assert main(["fix", str(folder), "undo"]) == 0
    assert _tags(folder) == before


def test_what_no_list_has_becomes_a_list_that_the_tags_follow(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The written list is read as it was meant; with it the card is a listed one."""
    grown = tmp_path / "grown.csv"
    assert main(["checklist", "--from-lots", str(folder), "--to", str(grown)]) == 0
    row = read_checklist(grown).rows[0]
    assert (row.set, row.number, row.subject, row.parallels) == (
        "1987 Harbor Light",
        "77",
        "Nobody",
        (),
    )
    with change(place_of_folder(folder), Settings(), [grown]):
        pass
    capsys.readouterr()
    assert main(["checklist", "--reread", "--yes", str(folder)]) == 0
    assert capsys.readouterr().out == 'box, card 6: listed "no" → "yes"\n'
    assert _tags(folder)[5].listed
    # nothing is left over, and the lot's own lists are never written over
    again = ["checklist", "--from-lots", str(folder), "--to"]
    assert main([*again, str(tmp_path / "more.csv")]) == 0
    assert not (tmp_path / "more.csv").exists()


def test_a_set_that_was_renamed_is_found_by_number_and_name(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The year was missing; all five cards follow."""
    (folder.parent / "harbor.csv").write_text(
        LIST.replace("1987 Harbor Light", "1988 Harbor Light")
    )
    assert main(["checklist", "--reread", "--yes", str(folder)]) == 0
    assert {tags.set for tags in _tags(folder)[:5]} == {"1988 Harbor Light"}
    assert "5 cards changed" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (["--from-lots"], "--from-lots and --to FILE.csv go together"),
        (["--reread", "--from-lots", "--to", "x.csv"], "say one."),
        (["--yes", "x.csv"], "--yes goes with --reread"),
        (["--reread", "--json"], "leave them out"),
    ],
)
def test_options_that_do_not_go_together(
    given: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A usage error, in one sentence."""
    assert main(["checklist", *given]) == 2
    assert said in capsys.readouterr().err


def test_a_list_that_is_gone_is_named_and_one_that_was_renamed_is_found(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing of what the tags are hangs on the list; a command that looks finds it as well, and a
    file of another content is not taken for it."""
    known, here = folder.parent / "harbor.csv", KnownLists()
    here.note([str(known), str(folder)])
    before = _tags(folder)
    renamed = known.rename(folder / "other name.csv")
    (folder.parent / "same size.csv").write_text(LIST.replace("Lund", "Lind"))
    assert lists_now([str(known)]) == (str(known),)
    assert lists_now([str(known)], [folder]) == (str(renamed),)
    capsys.readouterr()
    assert main(["checklist", "--reread", str(folder)]) == 1
    assert "There is no checklist" in capsys.readouterr().err
    renamed.rename(folder.parent / "harbor 87.csv")
    assert main(["checklist", "--reread", str(folder)]) == 0
    with change(place_of_folder(folder), Settings()) as session:
        assert session.view.checklists == (str(folder.parent / "harbor 87.csv"),)
    assert _tags(folder) == before


def test_a_grown_list_is_read_as_the_cards_it_grew_from(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A parallel with a stroke in its name stays one; a card without a set gets none of another."""

    def unlisted(set_name: str, number: str, parallel: str = "") -> Tags:
        return Tags(set_name, number, "Ann Ash", parallel=parallel, listed=False)

    own = "1990 Own Set"
    cards = [unlisted(own, "1", "Gold / Blue"), unlisted("", "10"), unlisted(own, "2", "Red")]
    lot_of(tmp_path / "a", cards)
    target = tmp_path / "more.csv"
    assert main(["checklist", "--from-lots", "--to", str(target)]) == 1
    assert "1 card has no set and cannot be in a list" in capsys.readouterr().err
    rows = read_checklist(target).rows
    told = [(row.set, row.number, [one.name for one in row.parallels]) for row in rows]
    assert told == [(own, "1", ["Gold / Blue"]), (own, "2", ["Red"])]
