"""Lists with headings in other languages and other habits of naming columns."""

from __future__ import annotations

from dataclasses import replace

from support.hobby.world import MAKERS, Card, Made, World, grid, making, without
from support.hobby.writers import book, delimited

_TONGUES = {
    "portuguese": ("Nº;Jogador;Clube;Coleção;Preço (€)", "cp1252", ";"),
    "polish": ("Nr;Zawodnik;Drużyna;Zestaw;Cena (zł)", "cp1250", ";"),
    "czech": ("Číslo;Jméno hráče;Tým;Sada;Cena Kč", "utf-8", ";"),
    "swedish": ("Kortnr;Spelare;Lag;Samling;Pris kr", "cp1252", ";"),
    "danish": ("Nr.;Spiller;Hold;Serie;Pris", "utf-8-sig", ";"),
    "finnish": ("Nro;Pelaaja;Joukkue;Sarja;Hinta €", "utf-8-sig", ";"),
    "hungarian": ("Sorszám;Játékos;Csapat;Sorozat;Ár", "utf-8", ";"),
    "turkish": ("Numara;Oyuncu;Takım;Set;Fiyat", "utf-8", ","),
    "russian": ("№;Игрок;Команда;Серия;Цена", "utf-8", "\t"),
    "greek": ("Αριθμός;Παίκτης;Ομάδα;Σειρά;Τιμή", "utf-8", ";"),
    "korean": ("번호;선수;팀;세트;가격", "utf-8", ","),
    "chinese": ("编号;球员;球队;系列;价格", "utf-8", ","),
    "spanish_plural": ("Números;Jugadores;Equipos;Colección;Precio (€)", "cp1252", ";"),
    "italian": ("Numero figurina;Giocatore;Squadra;Collezione;Valore", "utf-8", ";"),
    "german_long": ("Kartennummer;Spielername;Mannschaft;Serie;Wert in €", "cp1252", ";"),
    "dutch_long": ("Kaartnummer;Naam speler;Ploeg;Reeks;Prijs in euro", "utf-8", ";"),
    "french_long": ("N° de carte;Nom du joueur;Équipe;Collection;Cote", "cp1252", ";"),
    "two_tongues": (
        "Number / Nummer;Player / Spieler;Team / Verein;Set / Serie;Price / Preis",
        "utf-8",
        ";",
    ),
    "database": ("CARD_NUMBER;PLAYER_NAME;TEAM_NAME;SET_NAME;MARKET_VALUE", "utf-8", ","),
    "camel": ("cardNumber;playerName;teamName;setName;listPrice", "utf-8", ","),
    "starred": ("Number*:;Player*:;Team:;Set*:;Price:", "utf-8", ","),
    "counted_heads": ("1. Number;2. Player;3. Team;4. Set;5. Price", "utf-8", ","),
    "shortened": ("Nbr;Plyr;Tm;Set;Val", "utf-8", ","),
    "broken_heads": ("Card\nNo.;Player\nName;Team;Set\nName;Book\nValue", "utf-8", ","),
    "with_of": (
        "Number of card;Name of player;Name of team;Name of set;Asking price",
        "utf-8",
        ",",
    ),
    "with_units": (
        "Card (#);Player (full name);Team (at issue);Set (year + name);Price [USD]",
        "utf-8",
        ",",
    ),
}


def _tongue(heads: str, encoding: str, delimiter: str) -> object:
    def made(w: World) -> Made:
        cards = w.cards(14) + w.cards(9, start=40)
        rows = grid(cards, heads.split(";"), "number subject team set price")
        if delimiter == ";":
            rows = [
                [cell.replace(".", ",") if at == 4 else cell for at, cell in enumerate(row)]
                for row in rows
            ]
            rows[0] = heads.split(";")
        return Made("list.csv", delimited(rows, delimiter, encoding), tuple(cards))

    return made


for _name, _how in _TONGUES.items():
    MAKERS[f"tongue_{_name}"] = _tongue(*_how)  # type: ignore[assignment]


@making
def japanese_with_romaji(w: World) -> Made:
    names = ["佐々野春香", "渡貫一", "小鳥遊海", "長谷見蓮", "黒江さくら"]
    romaji = ["Sasano Haruka", "Watanuki Hajime", "Takanashi Umi", "Hasemi Ren", "Kuroe Sakura"]
    cards = [
        Card("2004 灯台物語", str(at), name, team="港ヘロンズ", alias=said)
        for at, (name, said) in enumerate(zip(names, romaji, strict=True), 1)
    ]
    rows = grid(
        cards,
        ["カード番号", "選手名", "ローマ字", "チーム名", "シリーズ"],
        "number subject alias team set",
    )
    return Made("一覧.csv", delimited(rows, encoding="cp932"), tuple(cards))


@making
def nickname_column(w: World) -> Made:
    cards = without(w.cards(10), price="")
    cards = [replace(card, alias=f"Ace{at}") for at, card in enumerate(cards)]
    rows = grid(cards, ["No", "Player", "Nickname", "Team", "Set"], "number subject alias team set")
    return Made("nick.csv", delimited(rows), tuple(cards))


@making
def heads_in_two_rows_merged(w: World) -> Made:
    cards = w.cards(16)
    rows = [["Card", "", "", "Collecting", ""], ["No.", "Name", "Team", "Price", "Bought"]]
    rows += [[c.number, c.subject, c.team, c.price, "2019"] for c in cards]  # type: ignore[list-item]

    def merge(made: object) -> None:
        sheet = made.active  # type: ignore[attr-defined]
        sheet.merge_cells("A1:C1")
        sheet.merge_cells("D1:E1")

    return Made(f"{cards[0].set}.xlsx", book(rows, merge), tuple(cards))


@making
def heads_in_two_rows_split(w: World) -> Made:
    cards = w.cards(16)
    rows = [["Card", "Player", "", "Book"], ["No.", "Name", "Team", "Value"]]
    rows += [[c.number, c.subject, c.team, c.price] for c in cards]  # type: ignore[list-item]
    return Made(f"{cards[0].set}.csv", delimited(rows), tuple(cards))


@making
def heads_below_a_row_of_letters(w: World) -> Made:
    """Somebody copied the spreadsheet with its column letters."""
    cards = without(w.cards(12), price="")
    rows = [
        ["A", "B", "C", "D"],
        *grid(cards, ["Set", "No.", "Player", "Team"], "set number subject team"),
    ]
    return Made("letters.csv", delimited(rows), tuple(cards))


@making
def no_heads(w: World) -> Made:
    cards = without(w.cards(20), price="")
    rows = grid(cards, [], "number subject team")[1:]
    return Made(f"{cards[0].set}.csv", delimited(rows), tuple(cards))


@making
def no_heads_set_first(w: World) -> Made:
    cards = without(w.cards(12) + w.cards(12, start=5), price="")
    rows = grid(cards, [], "set number subject team")[1:]
    return Made("mylist.csv", delimited(rows, ";"), tuple(cards))


@making
def asked_heads(w: World) -> Made:
    cards = without(w.cards(12), price="")
    rows = grid(cards, ["#", "Who", "Which team", "What set"], "number subject team set")
    return Made("who.csv", delimited(rows), tuple(cards))


@making
def line_count_before_number(w: World) -> Made:
    """A running count stands before the card's own number."""
    cards = without(w.cards(15, start=301), price="")
    rows = [["ID", "Card #", "Player", "Team"]]
    rows += [[str(at), c.number, c.subject, c.team] for at, c in enumerate(cards, 1)]  # type: ignore[list-item]
    return Made(f"{cards[0].set}.csv", delimited(rows), tuple(cards))
