"""Lists as tables: inventories, exports of other programs, sheets of many hands, saved as CSV."""

from __future__ import annotations

import csv

from bench.lists.kit import Made, Maker, table, text

MAKERS: list[Maker] = []


def maker(make: Maker) -> Maker:
    MAKERS.append(make)
    return make


@maker
def inventory(m: Made):
    rows = [["Qty", "Cond.", "Set", "Card", "Player", "Team", "Box", "Paid", "Ask", "Date bought"]]
    for n, who, club in m.some(12):
        rows.append([m.r.randint(1, 4), "NM", m.set, n, who, club, "B2", "0.05", "0.25", "3/4/22"])
        m.means(n, who, club)
    return "inventory.csv", text(rows)


@maker
def price_span(m: Made):
    rows = [["No.", "Player", "Club", "Min", "Max", "Mint", "EX"]]
    for n, who, club in m.some(12):
        rows.append([n, who, club, "0,10", "0,50", "0,50", "0,20"])
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows, ";")


@maker
def two_header_rows(m: Made):
    rows = [
        ["Card", "", "Player", "", "Value ($)", ""],
        ["No.", "Team", "Last", "First", "Low", "High"],
    ]
    for n, who, club in m.some(12):
        first, last = who.split()
        rows.append([n, club, last, first, "0.10", "0.40"])
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows)


@maker
def units_below_header(m: Made):
    rows = [["Nr.", "Name", "Verein", "Preis"], ["", "", "", "(EUR)"]]
    for n, who, club in m.some(12):
        rows.append([n, who, club, "0,50"])
        m.means(n, who, club)
        m.extra[str(n), "price"] = "0,50"
    return f"{m.set}.csv", text(rows, ";")


@maker
def excel_separator_line(m: Made):
    rows = [["Set", "Nr", "Spieler"]]
    for n, who, _ in m.some(12):
        rows.append([m.set, n, who])
        m.means(n, who)
    return "export.csv", b"sep=;\r\n" + text(rows, ";")


@maker
def lines_quoted_whole(m: Made):
    rows = [["Set", "No", "Player", "Team"]]
    for n, who, club in m.some(12):
        rows.append([m.set, n, who, club])
        m.means(n, who, club)
    lines = [",".join(map(str, row)) for row in rows]
    return "twice.csv", "\r\n".join(f'"{line}"' for line in lines).encode()


@maker
def spaces_behind_commas(m: Made):
    out = ["No, Player, Team"]
    for n, who, club in m.some(12):
        first, last = who.split()
        out.append(f'{n}, "{last}, {first}", {club}')
        m.means(n, f"{last}, {first}|{who}", club)
    return f"{m.set}.csv", "\n".join(out).encode()


@maker
def last_comma_first(m: Made):
    rows = [["Card No.", "Name (Last, First)", "Team"]]
    for n, who, club in m.some(12):
        first, last = who.split()
        rows.append([n, f"{last}, {first}", club])
        m.means(n, f"{last}, {first}|{who}", club)
    return f"{m.set}.csv", text(rows)


@maker
def backslash_quotes(m: Made):
    rows = [["set", "number", "player", "team"]]
    for n, who, club in m.some(12):
        first, last = who.split()
        nick = f'{first} "Ace" {last}' if n % 4 == 0 else who
        rows.append([m.set, n, nick, club])
        m.means(n, nick, club)
    data = table(rows, doublequote=False, escapechar="\\", quoting=csv.QUOTE_ALL)
    return "dump.csv", data.encode()


@maker
def inches_and_nicknames(m: Made):
    out = ["No.\tPlayer\tTeam\tSize"]
    for n, who, club in m.some(12):
        first, last = who.split()
        name = {3: f'"Ace" {last}', 5: f'{first} "Bud" {last}'}.get(n, who)
        out.append(f'{n}\t{name}\t{club}\t5" x 7"')
        m.means(n, name, club)
    return f"{m.set}.tsv", "\n".join(out).encode()


@maker
def ditto_marks(m: Made):
    mark = m.r.choice(['"', "''", "do.", "〃", '-"-'])
    rows = [["Set", "No.", "Player", "Team"]]
    before = ""
    for n, who, club in m.some(12):
        rows.append([m.set if n == 1 else mark, n, who, mark if club == before else club])
        before = club
        m.means(n, who, club)
    return "ditto.csv", text(rows)


@maker
def year_already_in_set(m: Made):
    rows = [["Year", "Set", "#", "Name"]]
    for n, who, _ in m.some(12):
        rows.append([m.year, m.set, n, who])
        m.means(n, who)
    return "all.csv", text(rows)


@maker
def season_split(m: Made):
    rows = [["Season", "Product", "Card Nbr", "Athlete", "Franchise"]]
    for season in ("1987-88", "1988-89"):
        for n, who, club in m.some(8):
            rows.append([season, m.line, n, who, club])
            m.means(n, who, club, set=f"{season} {m.line}")
    return "seasons.csv", text(rows)


@maker
def years_in_two_columns(m: Made):
    rows = [["From", "To", "Set", "No.", "Player"]]
    for n, who, _ in m.some(10):
        rows.append([1987, 1988, "Lantern Row", n, who])
        m.means(n, who, set="1987-88 Lantern Row|1987-1988 Lantern Row|1987/88 Lantern Row")
    return "span.csv", text(rows)


@maker
def set_in_file_name(m: Made):
    rows = [["Nr", "Player", "Team"]]
    for n, who, club in m.some(10):
        rows.append([n, who, club])
        m.means(n, who, club)
    return f"{m.year}_{m.line.replace(' ', '_')}_checklist.csv", text(rows)


@maker
def number_and_name_in_one(m: Made):
    rows = [["Card", "Team", "Price"]]
    for n, who, club in m.some(12):
        rows.append([f"#{n} {who}", club, "$0.25"])
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows)


@maker
def game_export(m: Made):
    rows = [["Quantity", "Card Name", "Set Code", "Set Name", "Collector Number", "Foil", "Rarity",
             "Condition", "Language"]]  # fmt: skip
    for n in range(1, 11):
        who = m.who()
        kinds = ["normal", "foil"] if n % 3 == 0 else ["normal"]
        for kind in kinds:
            rows.append([1, who, "SLH", m.set, n, kind, "common", "near_mint", "en"])
        # the card without foil is the plain one
        m.means(n, who, "", "; ".join(["base", *kinds[1:]]))
    return "collection.csv", text(rows)


@maker
def flags_of_marks(m: Made):
    rows = [["set", "number", "player", "team", "RC", "AU", "MEM", "SN"]]
    for n, who, club in m.some(12):
        run = 99 if n % 4 == 0 else ""
        rows.append([m.set, n, who, club, "RC" if n % 3 == 0 else "", "AU" if run else "", "", run])
        m.means(n, who, club, "/99" if run else "")
    return "flags.csv", text(rows)


@maker
def marks_in_names(m: Made):
    marks = ["RC", "SP", "SSP", "AU", "(RC)", "RC AU", "XRC", "UER"]
    rows = [["Number", "Player", "Team"]]
    for n, who, club in m.some(16):
        rows.append([n, f"{who} {marks[n // 2]}" if n % 2 else who, club])
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows)


@maker
def variations_with_letters(m: Made):
    rows = [["No.", "Player", "Note"]]
    for n, who, _ in m.some(10):
        if n == 5:
            rows += [["5a", who, "error: name misspelled"], ["5b", who, "corrected"]]
            m.means("5a", who)
            m.means("5b", who)
        else:
            rows.append([n, who, ""])
            m.means(n, who)
    return f"{m.set}.csv", text(rows)


@maker
def many_ways_to_say_a_run(m: Made):
    ways = ["Gold (#'d to 50)", "Gold #/50", "Gold 50 copies", "Gold - 50", "Gold x/50",
            "Gold [50]", "Gold #d /50", "Gold numbered to 50", "Gold (50 made)", "Gold SN50",
            "Gold /50 (hobby)"]  # fmt: skip
    rows = [["No.", "Player", "Parallels"]]
    for (n, who, _), way in zip(m.some(11), ways, strict=True):
        rows.append([n, who, f"{way}; Silver"])
        m.means(n, who, "", ("Gold (hobby)/50" if n == 11 else "Gold/50") + "; Silver")
    return f"{m.set}.csv", text(rows)


@maker
def run_column_in_words(m: Made):
    ways = {"#/99": 99, "Serial #'d to 99": 99, "1 of 1": 1, "xx/25": 25, "/10": 10, "99 made": 99}
    rows = [["Card Number", "Player", "Serial #'d"]]
    for (n, who, _), (way, run) in zip(m.some(6), ways.items(), strict=True):
        rows.append([f"SN-{n}", who, way])
        m.means(f"SN-{n}", who, "", "1/1/1" if run == 1 else f"/{run}")
    return f"{m.set}.csv", text(rows)


@maker
def parallels_joined_otherwise(m: Made):
    marks = [" / ", " + ", ", ", " and ", " & ", "\n"]
    rows = [["Nr.", "Player", "Versions"]]
    for (n, who, _), mark in zip(m.some(6), marks, strict=True):
        rows.append([n, who, mark.join(["Ruby", "Teal"])])
        m.means(n, who, "", "Ruby; Teal")
    return f"{m.set}.csv", text(rows)


@maker
def section_lines_of_all_kinds(m: Made):
    heads = ["INSERTS", "Rookies (3 cards)", "--- Stars ---", "*** Captains ***", "Subset: Keepers",
             "[Wings]", "Checklists:"]  # fmt: skip
    names = ["INSERTS", "Rookies", "Stars", "Captains", "Keepers", "Wings", "Checklists"]
    rows = [["No.", "Player", "Team"]]
    n = 0
    for head, name in zip(["", *heads], ["", *names], strict=True):
        if head:
            rows.append([head, "", ""])
        for _ in range(3):
            n += 1
            who = m.who()
            rows.append([n, who, "Dunlow Rams"])
            m.means(n, who, "Dunlow Rams", "", name)
    return f"{m.set}.csv", text(rows)


@maker
def subset_letters(m: Made):
    rows = [["Subset", "No.", "Player"]]
    for part, letter in (("All Stars", "A"), ("Bench", "B"), ("Coaches", "C")):
        for n in range(1, 5):
            who = m.who()
            rows.append([part if n == 1 else "", f"{letter}{n}", who])
            m.means(f"{letter}{n}", who, "", "", part)
    return f"{m.set}.csv", text(rows)


@maker
def running_line_and_number(m: Made):
    rows = [["Lfd. Nr.", "Kartennr.", "Spieler", "Verein"]]
    for n, who, club in m.some(12, 101):
        rows.append([n - 100, n, who, club])
        m.means(n, who, club)
    return f"{m.set}.csv", text(
        rows,
        ";",
    )


@maker
def set_number_and_card_number(m: Made):
    rows = [["ID", "Set #", "Set", "Card #", "Player"]]
    for n, who, _ in m.some(12):
        rows.append([9000 + n, 417, m.set, n, who])
        m.means(n, who)
    return "db.csv", text(rows)


@maker
def json_headings(m: Made):
    rows = [["card.set.name", "card.number", "card.player.name", "card.team.name", "card.printRun"]]
    for n, who, club in m.some(10):
        rows.append([m.set, n, who, club, "25" if n == 3 else ""])
        m.means(n, who, club, "/25" if n == 3 else "")
    return "flat.csv", text(rows)


@maker
def two_languages_in_headings(m: Made):
    rows = [["Nr. / No.", "Spieler / Player", "Verein / Team", "Auflage / Print run"]]
    for n, who, club in m.some(10):
        rows.append([n, who, club, ""])
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows, ";")


@maker
def not_a_number_cells(m: Made):
    rows = [["number", "player", "team", "parallel"]]
    for n, who, club in m.some(12):
        none = m.r.choice(["NaN", "nan"]) if n % 3 == 0 else club
        rows.append([n, who, none, "NaN"])
        m.means(n, who, "" if n % 3 == 0 else club)
    return f"{m.set}.csv", text(rows)


@maker
def null_cells(m: Made):
    rows = [["set", "number", "player", "team", "print_run"]]
    for n, who, club in m.some(12):
        rows.append([m.set, n, who, club if n % 2 else "NULL", "NULL"])
        m.means(n, who, club if n % 2 else "")
    return "dump.csv", text(rows)


@maker
def error_cells(m: Made):
    m.damaged = True
    rows = [["No.", "Player", "Team"]]
    for n, who, club in m.some(12):
        rows.append([n, who, "#N/A" if n in (4, 9) else club])
        m.means(n, who, "" if n in (4, 9) else club)
    return f"{m.set}.csv", text(rows, "\t")


@maker
def comments(m: Made):
    rows = [["# exported on Tuesday"], ["# all cards"], ["Number", "Player", "Team"]]
    for n, who, club in m.some(12):
        if n == 6:
            rows.append(["# second page"])
        rows.append([n, who, club])
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows)


@maker
def totals_of_all_kinds(m: Made):
    rows = [["Number", "Player", "Team", "Value"]]
    for n, who, club in m.some(12):
        rows.append([n, who, club, "1.00"])
        m.means(n, who, club)
    rows += [["", "", "Subtotal", "12.00"], ["Grand total", "", "", "12.00"], ["Cards: 12"],
             ["Average", "", "", "1.00"], ["Prices without warranty"]]  # fmt: skip
    return f"{m.set}.csv", text(rows)


@maker
def ragged_and_trailing(m: Made):
    out = [f"{m.set};;;;;", ";;;;;", "Nr;Name;;Team;;;"]
    for n, who, club in m.some(12):
        out.append(f"{n};{who};;{club}" + ";" * (n % 5))
        m.means(n, who, club)
    return "ragged.csv", "\n".join(out).encode("cp1252")


@maker
def headings_shouted(m: Made):
    rows = [["CRD #  ", " PLAYER/SUBJECT", "TM.", "SERIAL NO./RUN "]]
    for n, who, club in m.some(10):
        rows.append([f" {n} ", f"{who}  ", club, ""])
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows)


@maker
def marked_numbers(m: Made):
    forms = ["No. {}", "#{}", "Nr. {}", "Card {}", "№ {}", "N° {}"]
    form = m.r.choice(forms)
    rows = [["Number", "Player"]]
    for n, who, _ in m.some(10):
        rows.append([form.format(n), who])
        m.means(n, who)
    return f"{m.set}.csv", text(rows)


@maker
def apostrophe_numbers(m: Made):
    rows = [["Number", "Player"]]
    for n, who, _ in m.some(10):
        rows.append([f"'{n:03d}", who])
        m.means(f"{n:03d}", who)
    return f"{m.set}.csv", text(rows)


@maker
def spaces_that_do_not_break(m: Made):
    rows = [["No.\u00a0", "Player", "Team"]]
    for n, who, club in m.some(10):
        rows.append([f"\u00a0{n}", who.replace(" ", "\u00a0"), f"{club}\u200b"])
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows)


@maker
def number_of_a_total(m: Made):
    rows = [["Card", "Player", "Team"]]
    for n, who, club in m.some(12):
        rows.append([f"{n} of 220", who, club])
        m.means(f"{n} of 220|{n}|{n}/220", who, club)
    return f"{m.set}.csv", text(rows)


@maker
def ranges_for_numbers(m: Made):
    m.damaged = True
    rows = [["No.", "Player", "Team"]]
    for n, who, club in m.some(8):
        rows.append([n, who, club])
        m.means(n, who, club)
    rows.append(["9-18", "Team cards", ""])
    m.means("9-18", "Team cards")
    return f"{m.set}.csv", text(rows)


@maker
def bars_and_mac_ends(m: Made):
    rows = [["Set", "Number", "Subject", "Team"]]
    for n, who, club in m.some(12):
        rows.append([m.set, f"RC-{n}", who, club])
        m.means(f"RC-{n}", who, club)
    return "old.txt", table(rows, "|", "\r").encode("utf-16-be")


@maker
def words_of_other_languages(m: Made):
    heads = m.r.choice([
        ["Zestaw", "Numer", "Zawodnik", "Drużyna"],
        ["Set", "Nummer", "Spelare", "Lag"],
        ["Coleção", "Número", "Jogador", "Equipe"],
        ["系列", "编号", "球员", "球队"],
        ["세트", "번호", "선수", "팀"],
        ["Набор", "Номер", "Игрок", "Команда"],
        ["Sada", "Číslo", "Hráč", "Tým"],
    ])  # fmt: skip
    rows = [heads]
    for n, who, club in m.some(12):
        rows.append([m.set, n, who, club])
        m.means(n, who, club)
    return "mine.csv", text(rows, ";")


@maker
def full_width_digits(m: Made):
    rows = [["シリーズ", "No.", "選手", "球団", "限定枚数"]]
    for n in range(1, 9):
        wide = str(n).translate({48 + d: 0xFF10 + d for d in range(10)})
        rows.append([m.set, wide, f"磯波 帆{'一二三四五六七八'[n - 1]}", "港ヘロンズ", ""])
        m.means(f"{n}|{wide}", f"磯波 帆{'一二三四五六七八'[n - 1]}", "港ヘロンズ")
    return "card.csv", table(rows).encode("utf-8-sig")


@maker
def japanese_of_windows(m: Made):
    m.damaged = True
    rows = [["セット", "番号", "選手名", "チーム"]]
    for n in range(1, 9):
        who = f"磯波 帆{'一二三四五六七八'[n - 1]}"
        rows.append([m.set, n, who, "港ヘロンズ"])
        m.means(n, who, "港ヘロンズ")
    return "sjis.csv", table(rows).encode("cp932")


@maker
def cards_across(m: Made):
    m.damaged = True
    some = list(m.some(8))
    rows = [["No.", *(n for n, _, _ in some)], ["Player", *(who for _, who, _ in some)],
            ["Team", *(club for _, _, club in some)]]  # fmt: skip
    for n, who, club in some:
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows)
