"""Lists as text: posts, pages and PDFs that were pasted, fixed widths, bullets, want lists."""

from __future__ import annotations

from bench.lists.kit import Made, Maker

MAKERS: list[Maker] = []


def maker(make: Maker) -> Maker:
    MAKERS.append(make)
    return make


def lines(*some: str, end: str = "\n") -> bytes:
    return end.join(some).encode()


@maker
def pdf_with_page_headers(m: Made):
    out = []
    for n, who, club in m.some(30):
        if n % 10 == 1:
            out += [f"{m.set} Checklist", f"Page {n // 10 + 1} of 3", ""]
        out.append(f"{n} {who}, {club}")
        m.means(n, who, club)
    return "pdf.txt", lines(*out)


@maker
def pdf_in_two_columns(m: Made):
    cards = list(m.some(24))
    for n, who, _ in cards:
        m.means(n, who)
    out = [m.set, ""]
    for (n, a, _), (k, b, _) in zip(cards[:12], cards[12:], strict=True):
        out.append(f"{f'{n} {a}':<34}{k} {b}")
    return "columns.txt", lines(*out)


@maker
def fixed_width_with_header(m: Made):
    out = [m.set, f"{'No.':<6}{'Player':<26}{'Team':<18}"]
    for n, who, club in m.some(15):
        out.append(f"{n:<6}{who:<26}{club:<18}")
        m.means(n, who, club)
    return "fixed.txt", lines(*out)


@maker
def fixed_width_without_header(m: Made):
    out = []
    for n, who, club in m.some(15):
        out.append(f"{n:>4}  {who:<26}{club}")
        m.means(n, who, club)
    return f"{m.set}.txt", lines(*out)


@maker
def dash_title_and_dots(m: Made):
    out = [f"{m.set} – 14 cards", ""]
    for n, who, club in m.some(14):
        out.append(f"{n}. {who} – {club}")
        m.means(n, who, club)
    return "post.txt", lines(*out)


@maker
def forum_code(m: Made):
    out = [f"[b]{m.set}[/b]", "[list]"]
    for n, who, club in m.some(12):
        out.append(f"[*]{n} {who}, {club}")
        m.means(n, who, club)
    return "forum.txt", lines(*out, "[/list]")


@maker
def markdown_table(m: Made):
    out = [f"# {m.set}", "", "| No. | Player | Team |", "|----:|--------|------|"]
    for n, who, club in m.some(12):
        out.append(f"| {n} | {who} | {club} |")
        m.means(n, who, club)
    return "table.txt", lines(*out)


@maker
def parallels_line_under_title(m: Made):
    out = [m.set, "12 cards", "Parallels: Gold /50, Silver, Black 1/1", ""]
    for n, who, club in m.some(12):
        out.append(f"{n} {who}, {club}")
        m.means(n, who, club, "Gold/50; Silver; Black/1")
    return "page.txt", lines(*out)


@maker
def bullets_of_parallels(m: Made):
    out = [m.set, "", "Base Set", "8 cards. Parallels:", "- Copper (#/199)", "- Ice (#/25)", ""]
    for n, who, club in m.some(8):
        out.append(f"{n} {who} - {club}")
        m.means(n, who, club, "Copper/199; Ice/25")
    out += ["", "Deckhands", "4 cards. No parallels.", ""]
    for n, who, club in m.some(4):
        out.append(f"D-{n} {who} - {club}")
        m.means(f"D-{n}", who, club, "", "Deckhands")
    return "page.txt", lines(*out)


@maker
def boxes_to_tick(m: Made):
    box = m.r.choice(["[ ]", "☐", "___", "( )", "□"])
    out = [m.set, ""]
    for n, who, club in m.some(14):
        done = "[x]" if box == "[ ]" and n % 4 == 0 else box
        out.append(f"{done} {n} {who}, {club}")
        m.means(n, who, club)
    return "tick.txt", lines(*out)


@maker
def starred_lines(m: Made):
    out = [f"** {m.set} **"]
    for part, start in (("Base", 1), ("Rookies", 9)):
        out += ["", f"--- {part} ---"]
        for n, who, club in m.some(8 if part == "Base" else 4, start):
            out.append(f"* #{n} - {who} - {club}")
            m.means(n, who, club, "", "Rookies" if part == "Rookies" else "")
    return "stars.txt", lines(*out)


@maker
def errors_and_marks(m: Made):
    out = [m.set]
    for n, who, club in m.some(12):
        if n == 4:
            out += [f"4a {who} ERR, {club}", f"4b {who} COR, {club}"]
            m.means("4a", who, club)
            m.means("4b", who, club)
            continue
        mark = {2: " RC", 5: " SP", 7: " SSP", 9: " UER", 11: " RC SP"}.get(n, "")
        out.append(f"{n} {who}{mark}, {club}")
        m.means(n, who, club)
    return "marks.txt", lines(*out)


@maker
def team_lines(m: Made):
    out = [f"{m.set} by team"]
    n = 0
    for club in ("Ashport Herons", "Belling Foxes"):
        out += ["", f"Team: {club}"]
        for _ in range(6):
            n += 1
            who = m.who()
            out.append(f"{n} {who}")
            m.means(n, who, club)
    return "teams.txt", lines(*out)


@maker
def want_list_of_numbers(m: Made):
    m.damaged = True
    for n in (1, 4, 7, 8, 9):
        m.means(n, "")
    return "wants.txt", lines(f"{m.set}: 1, 4, 7-9")


@maker
def several_sets_with_years(m: Made):
    out = ["My binders", ""]
    for year in (1978, 1979):
        m.year = year
        out += [f"{m.set} (7 cards)", "-" * 30]
        for n, who, club in m.some(7):
            out.append(f"{n}\t{who}\t{club}")
            m.means(n, who, club)
        out.append("")
    return "binders.txt", lines(*out, end="\r\n")


@maker
def serial_words(m: Made):
    out = [m.set, ""]
    for n, who, club in m.some(10):
        out.append(f"LR-{n} {who} - {club} (Serial #'d to 99)")
        m.means(f"LR-{n}", who, club, "/99")
    return "serial.txt", lines(*out)


@maker
def per_card_runs(m: Made):
    out = [m.set, "", "Autographs"]
    for n, who, club in m.some(10):
        run = m.r.choice([10, 25, 49])
        out.append(f"A-{n} {who}, {club} /{run}")
        m.means(f"A-{n}", who, club, f"/{run}", "Autographs")
    return "autos.txt", lines(*out)


@maker
def names_in_scripts(m: Made):
    names = ["Ольва Морозун", "Αλκη Δρόσου", "נועם ברוש", "سالم نورة", "雲田 磯郎", "강나루"]
    out = [m.set]
    for n, who in enumerate(names, 1):
        out.append(f"{n}\t{who}\tAshport Herons")
        m.means(n, who, "Ashport Herons")
    return "scripts.txt", "\n".join(out).encode("utf-16")


@maker
def footnotes_below(m: Made):
    out = [f"{m.set} Checklist", ""]
    for n, who, club in m.some(12):
        star = "*" if n in (3, 8) else ""
        out.append(f"{n}{star} {who}, {club}")
        m.means(n, who, club)
    out += ["", "* short printed", "Compiled by the Eastmere club, 3/4/2019", "Page 1"]
    return "notes.txt", lines(*out)


@maker
def dot_leaders(m: Made):
    out = [m.set.upper(), ""]
    for n, who, club in m.some(12):
        out.append(f"{n:>3} {who} {'.' * (30 - len(who))} {club}")
        m.means(n, who, club, set=m.set.upper())
    return "leaders.txt", lines(*out)


@maker
def number_behind(m: Made):
    out = [m.set, "Player;Team;No."]
    for n, who, club in m.some(10):
        out.append(f"{who};{club};No. {n}")
        m.means(n, who, club)
    return "behind.txt", lines(*out)


@maker
def pair_cards(m: Made):
    out = [m.set, "", "Dual Threads (6 cards)"]
    for n in range(1, 7):
        a, b = m.who(), m.who()
        out.append(f"DT-{n} {a}/{b} - Ashport Herons/Dunlow Rams")
        m.means(
            f"DT-{n}", f"{a}/{b}|{a} / {b}",
            "Ashport Herons/Dunlow Rams|Ashport Herons / Dunlow Rams", "", "Dual Threads",
        )  # fmt: skip
    return "dual.txt", lines(*out)


@maker
def auction_titles(m: Made):
    out = ["Title"]
    for n, who, _ in m.some(10):
        out.append(f"{m.set} #{n} {who}")
        m.means(n, who)
    return "titles.csv", lines(*out)


@maker
def colon_lines(m: Made):
    out = [f"Set: {m.set}", "Cards: 10", ""]
    for n, who, club in m.some(10):
        out.append(f"{n}: {who} ({club})")
        m.means(n, who, club)
    return "colon.txt", lines(*out)
