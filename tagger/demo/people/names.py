"""The people of the invented sport: three generations of names, all made up.

The names are as awkward as real ones: look-alikes, two brothers, a father and a Jr., accents,
particles, apostrophes, and surnames that are also colours or grades."""

from __future__ import annotations

from functools import lru_cache

_FIRST = """
Ada Abe Adair Alma Amos Anselm Arlo Aubrey Basil Beatrix Bennet Bertil Birdie Boaz Bram Briony
Caius Calla Casper
Cato Clement Corin Cosima Dagny Darby Delphine Dermot Dov Edda Eino Elspeth Emeric Enoch Esme Ewan
Fabian Fenna
Fergus Flora Gideon Greta Gustav Hanno Hattie Hester Hollis Ignace Ilse Imogen Ingram Ione Isidor
Jago Jarvis Jessamy
Joachim Juno Kasimir Kestrel Kit Laszlo Leonie Linus Lorcan Lotte Lucan Mabel Magnus Malachi Marit
Mattias Merle
Milo Mina Nestor Niall Odile Oren Orla Osric Otto Paloma Pascoe Petra Phineas Quentin Ragna Remy
Roscoe Rufus Sabine
Selwyn Signe Silas Sunniva Tabitha Tavish Theo Thora Tobias Ursula Valentin Vesna Wanda Wendell
Wilhelmina Xanthe Yorick
Zelda
"""

_LAST = """
Abernook Aldwinter Ambergate Applesett Ashgrove Attlebrook Barleywick Beckhollow Bellweather
Birkmoor Blackthwaite
Bramwhistle Brightling Brockenhill Buntwater Burdockson Cairnwell Candlish Capstone Carraway
Chalkley Clovertree
Cobbleford Copperthwait Cragmire Crumhorn Culverhay Dapplegate Deepwell Dewberry Dockray Dovecliffe
Drumlin Duskey
Eddystrom Elderfield Emberley Eskwater Fallowdale Farthingay Fenbridge Fernihow Fiddler
Flintwater-Hay Foxearth
Frostick Gableman Gannetson Garnethill Glimmerby Goosewell Gorsedale Greenhithe-Poe Gullick
Halyarde Hartsease
Hawserby Haymarsh Heathershaw Hemlock Hobday-Rill Hollinwater Honeyball Hornbeamer Inkpenny
Ivelchester Jettison
Juniperson Kelpworth Kettlewell Kirkbrae Knapweed Lampwick Lanyardson Larkenby Leadbeck Lichgate
Loosemoor
Lovage Mallowby Marlpit Mastermoor Meadowcroft-Uhl Millrace Mizzenby Mossgrove Mudlark Netherpool
Nightshade
Nutcombe Oarsman Oatridge Orlopson Osterhaven Oxlade Paddlesworth Pebbleton Pennycress Peverill
Pikestaff Pilchardson
Plumtree Puddifoot Quayle-Dunn Quillfeather Quillon Rafterty Ramsbottle Redstartt Rowanberg
Rushbearer Saffronhill
Saltonstead Sandpiper Scullard Sedgewater Shinglewood Skerrett-Foy Slipwayne Sorrelby Spindrifter
Starlingham
Stavewell Stormont-Lea Sundrewe Tamarisk Tansley-Orr Tealby Thatchwell Thistlewood-Ames Thrift
Tidewell
Tillerman Tollbarrow Turnstone Twelvetrees Umberfield Undershaw Vellacot Wagstaff-Ingle Wakelight
Warpington
Weatherwick Wherryman Whimbrel Whinstone Willowdene Windlestraw Wrackham Yarrowby Yawlsley
"""

# Born early enough for the 1974 set; for the eighties; for the nineties.
_OLD_HANDS = """
Wendell Pike|Rafael de la Roqueta|Otis Silver|Hjalmar Sørvik|Cormac O'Nealey|Henrik Mallwitz-Jörn
Nora Gray
Stanisław Łazarek|Pip Mint|Effie Marshall|Bastien Beauçais|Gus Gold|Lars-Åke Strömvall
Roderick Marsh
"""
_EIGHTIES = """
Lee Gold|Nils Sørvik|Per Sørvik|Wendell Pike Jr.|Tomás de la Roqueta|Cormac O'Nealey Jr.
Shane O'Nealy
Zofia Łazarek|Iñigo Peñarroya|Marta Peñarroya|Jürgen Müllbrandt|Ines Fairley-Good|Opal White-Lunde
Aron Lundt
Ivar Lundqvar|Tess Silver|Noor Graye|Bo Grey|Mint Abernook|Rusk Browne-Teal|Ana de la Vigna
Léa Beauçais
Søren Østergade|Göran Åsvik|Adiel Marsh|Alma Marshall|Marcia Marshe
"""
_NINETIES = """
Ida Gold|Gil Golder|Kaya Sørvik|Tova Lundin-Ray|Abel Marsden|Ada Marsham|Rory O'Nealey
Zuzanna Wołoszka
Dario de la Roqueta|Mika Müllbrandt|Chloé Beauçais|Vera Black-Tarn|Scarlet Hemlock|Ruby Silverlock
Fay Poore-Mint
Núria Peñarroya|Åse Østergade|Wendell Pike III
"""


def _names(block: str) -> list[str]:
    return [name.strip() for line in block.strip().splitlines() for name in line.split("|")]


def _paired(count: int, start: int, stride: int) -> list[str]:
    """``count`` made-up names, no two the same: surnames in turn, first names by a stride."""
    # Strides that share no divisor with the counts go through all before one comes again.
    first, last = _FIRST.split(), _LAST.split()
    return [
        f"{first[(start + i * stride) % len(first)]} {last[(start * 7 + i * 5) % len(last)]}"
        for i in range(count)
    ]


def _spread(special: list[str], plain: list[str], every: int) -> list[str]:
    """The plain names with a special one after every few."""
    out: list[str] = []
    rest = iter(special)
    for i, name in enumerate(plain, 1):
        out.append(name)
        if i % every == 0:
            out.extend(name for name in (next(rest, None),) if name)
    return [*out, *rest]


@lru_cache(maxsize=1)
def generations() -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """The names by generation: the seventies, the eighties, the nineties; no name is in two."""
    seventies = _spread(_names(_OLD_HANDS), _paired(118, 3, 17), 8)
    eighties = _spread(_names(_EIGHTIES), _paired(196, 41, 23), 6)
    nineties = _spread(_names(_NINETIES), _paired(96, 77, 31), 5)
    # Three who are in two generations' sets and have their places in the checklists.
    seen: set[str] = {"Ada Marsh", "Ivo Lund", "Abe Marsden"}
    result: list[tuple[str, ...]] = []
    for names in (seventies, eighties, nineties):
        fresh = tuple(name for name in dict.fromkeys(names) if name not in seen)
        seen.update(fresh)
        result.append(fresh)
    return result[0], result[1], result[2]
