"""The words of seven languages as collectors head columns, and what they write around them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Tongue:
    """The headings of one language, each in several spellings; its totals, notes and sections.
    `old`: the encoding that older programs of its country have."""

    name: str
    number: Sequence[str]
    subject: Sequence[str]
    team: Sequence[str]
    price: Sequence[str]
    run: Sequence[str]
    parallel: Sequence[str]
    year: Sequence[str]
    set: Sequence[str]
    note: Sequence[str]
    count: Sequence[str]
    totals: Sequence[str]
    remarks: Sequence[str]
    rookies: str
    old: str = "cp1252"
    alias: str = ""

    def all(self) -> Mapping[str, Sequence[str]]:
        """The headings by what they mean."""
        return {
            "number": self.number, "subject": self.subject, "team": self.team,
            "price": self.price, "run": self.run, "parallel": self.parallel, "year": self.year,
            "set": self.set, "note": self.note, "count": self.count,
        }  # fmt: skip


TONGUES = (
    Tongue(
        "english", ("No.", "Card #", "Crd No", "Nbr."), ("Player", "Player/Subject", "Athlete"),
        ("Team", "Team/Club"), ("est. $", "Est. value ($)", "BV", "Guide $", "Price (USD)"),
        ("Print run", "Serial #'d /", "PR"), ("Parallel", "Parallel/Var.", "Finish"),
        ("Year", "Yr."), ("Set", "Product"), ("Notes", "Remarks", "Comment"), ("Qty", "Have"),
        ("Checklist total", "Total cards: {n}", "TOTAL: {n} cards", "Sum {n}"),
        ("Not every card was seen by me.", "Updated by hand, corrections welcome"), "Rookies",
    ),
    Tongue(
        "german", ("Nr.", "Karten-Nr.", "Kartennr.", "Lfd. Kartennr."),
        ("Spieler", "Spieler/in", "Spielername"),
        ("Mannschaft", "Verein", "Team/Verein"),
        ("Wert (€)", "ca. Wert €", "Preis in €", "gesch. Wert", "Wert ca. (EUR)"),
        ("Auflage", "Aufl.", "limitiert auf"), ("Parallele", "Variante", "Parallelversion"),
        ("Jahr", "Jahrgang"), ("Serie", "Satz", "Set"), ("Bemerkung", "Anmerkungen", "Zustand"),
        ("Anzahl", "Stück", "vorh."),
        ("Gesamt", "Summe Karten: {n}", "Karten insgesamt: {n}", "Gesamtzahl der Karten {n}"),
        ("Stand: März 2021", "Alle Angaben ohne Gewähr."), "Neulinge",
    ),
    Tongue(
        "french", ("N°", "Nº carte", "Numéro", "N° de la carte"),
        ("Joueur", "Joueur(se)", "Nom du joueur"),
        ("Équipe", "Club", "Équipe/Club"),
        ("Valeur (€)", "Prix est. €", "Cote (€)", "Valeur estimée"),
        ("Tirage", "Tiré à", "Numéroté à"),
        ("Parallèle", "Variante"), ("Année", "Saison"), ("Série", "Collection", "Set"),
        ("Remarques", "État"), ("Qté", "Nb"),
        ("Total", "Total des cartes : {n}", "Nombre total de cartes : {n}", "TOTAL {n} cartes"),
        ("Mise à jour en mars 2021", "Liste non officielle."), "Débutants",
    ),
    Tongue(
        "spanish", ("Núm.", "N.º", "Nº", "Número de carta"), ("Jugador", "Jugador/a", "Nombre"),
        ("Equipo", "Club"), ("Valor (€)", "Precio aprox.", "Valor est. €", "Precio €"),
        ("Tirada", "Numerada a"), ("Paralela", "Variante"), ("Año", "Temporada"),
        ("Colección", "Set", "Serie"), ("Notas", "Observaciones"), ("Cant.", "Cantidad"),
        ("Total", "Total de cartas: {n}", "Total cartas {n}", "Número total de cartas: {n}"),
        ("Actualizado en marzo de 2021", "Lista no oficial."), "Novatos",
    ),
    Tongue(
        "italian", ("N.", "Nr. carta", "Numero", "Num. figurina"),
        ("Giocatore", "Giocatore/trice", "Nome"),
        ("Squadra", "Club"), ("Valore (€)", "Val. stimato €", "Prezzo", "Quotazione €"),
        ("Tiratura", "Numerata a"), ("Parallela", "Variante", "Versione"), ("Anno", "Stagione"),
        ("Collezione", "Set", "Serie"), ("Note", "Condizione"), ("Q.tà", "Quantità"),
        ("Totale", "Totale carte: {n}", "Totale delle carte {n}", "Numero carte: {n}"),
        ("Aggiornato a marzo 2021", "Elenco non ufficiale."), "Esordienti",
    ),
    Tongue(
        "dutch", ("Nr.", "Kaartnr.", "Kaart nr.", "Volgnr. kaart"),
        ("Speler", "Speler/speelster", "Naam"),
        ("Ploeg", "Club", "Team/club"), ("Waarde (€)", "gesch. waarde", "Prijs €", "ca. waarde €"),
        ("Oplage", "Genummerd tot"), ("Parallel", "Variant", "Uitvoering"), ("Jaar", "Seizoen"),
        ("Set", "Serie", "Reeks"), ("Opmerking", "Conditie"), ("Aantal", "Stuks"),
        ("Totaal", "Totaal kaarten: {n}", "Totaal aantal kaarten: {n}", "Aantal kaarten: {n}"),
        ("Bijgewerkt in maart 2021", "Geen officiële lijst."), "Nieuwkomers",
    ),
    Tongue(
        "japanese", ("番号", "カードNo.", "No.", "カード番号"), ("選手名", "選手", "氏名"),
        ("チーム", "球団名", "所属チーム"), ("価格(円)", "推定価格（円）", "相場", "参考価格"),
        ("限定枚数", "シリアル", "限定"), ("パラレル", "バージョン", "パラレル名"),
        ("年", "年度", "発行年"),
        ("シリーズ", "セット名", "商品名"), ("備考", "メモ", "状態"), ("枚", "所持数"),
        ("合計", "合計：{n}枚", "総数 {n}", "計 {n} 枚"),
        ("2021年3月更新", "※非公式リストです"), "ルーキー",
        "cp932", "ローマ字",
    ),
)  # fmt: skip

NAMES = (
    ("磯野 波太", "Isono Namita"), ("風間 岬", "Kazama Misaki"), ("霧島 灯", "Kirishima Tomo"),
    ("潮見 航", "Shiomi Wataru"), ("浜辺 渚", "Hamabe Nagisa"), ("灯台 守", "Todai Mamoru"),
    ("汐留 港", "Shiodome Minato"), ("砂田 陸", "Sunada Riku"), ("沖野 帆", "Okino Ho"),
    ("錨谷 湊", "Ikariya So"), ("鴨川 葦", "Kamogawa Ashi"), ("波多野 凪", "Hatano Nagi"),
)  # fmt: skip
