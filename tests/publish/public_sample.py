"""A small public copy with awkward data, for tests and for looking at the pages; every name is invented."""

import sqlite3
from pathlib import Path

from PIL import Image, ImageDraw, ImageFilter, ImageOps

from catalog import signing
from catalog.publish import search
from catalog.rules.claims import CLAIMS_OF_GRADE, CLAIMS_OF_METHOD, claim_lines

SCHEMA = Path(search.__file__).with_name("public.sql")
FINGERPRINT = "3f9a 01c7 b2de 4455 90ab cdef 1234 5678 3f9a 01c7 b2de 4455 90ab cdef 1234 5678"
THIRD_FINGERPRINT = "0b5e 77d1 3c02 9a4f 0b5e 77d1 3c02 9a4f 0b5e 77d1 3c02 9a4f 0b5e 77d1 3c02 9a4f"
OTHER_FINGERPRINT = "aa11 bb22 cc33 dd44 ee55 ff66 0077 1188 aa11 bb22 cc33 dd44 ee55 ff66 0077 1188"
# Keys whose private halves everybody knows: RFC 8037, appendix A; RFC 8032, section 7.1, test 2.
KEYS = [
    ("11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo", "the artist", "1 January 2026"),
    ("PUAXw-hDiVqStwqnTRt-vJyYLM8uxJaMwM1V8Sr0Zgw", "the artist’s estate", "3 March 2031"),
]
# RFC 8032, section 7.1, test 1024: a key that had ended.
ENDED_KEY = (
    "J4EX_BRMcjQPZ9DyMW6Dhs7_vyskKMnFH-98WX8dQm4",
    "the artist",
    "1 January 2020",
    "3 March 2024",
    "2024-03-03",
)
SCRIPT = "<script>alert('x')</script> & “Ø”"

SERIES = [
    (
        1,
        "salt-works",
        "The Salt Works",
        "Evaporation ponds and sheds on the coast at Vellmar, before they were drained.",
        1,
    ),
    (2, "rooms", "Rooms with One Window", "", 2),
]
#            code        series  title                        made       where                  process
NEGATIVES = [
    ("N-0001", 1, "Evaporation pond, first frost", "1998", "Vellmar", "wet collodion negative"),
    ("N-0002", 1, "Sluice house", "c. 1998", "Vellmar", "wet collodion negative"),
    ("N-0003", 1, "Brine pump at d'Arc's landing", "May 1999", "Vellmar", "gelatin dry plate"),
    ("N-0004", 1, "Raked salt, evening", "1999", "Vellmar", "gelatin dry plate"),
    ("N-0005", 1, "Dam, looking north", "2001", "Vellmar", "gelatin dry plate"),
    ("N-0006", 2, "Ødegård: Straße im Winter", "2004/2006", "Ødegård", "gelatin dry plate"),
    ("N-0007", 2, SCRIPT, "", "", ""),
    ("2019-LM-14b", 2, "写真館の窓", "2019", "Ἀθῆναι", "sheet film negative"),
    ("N-0009", 2, "Chair", "2011", "", "sheet film negative"),
    ("N-0010", 2, "The long table", "between 2008 and 2011", "", "gelatin dry plate"),
    ("N-0011", None, "Portrait of a ferryman", "1996?", "Łąka", "wet collodion negative"),
    ("N-0012", None, "Untitled (no picture)", "", "", "gelatin dry plate"),
]
STATEMENT = "25 numbered, 3 artist’s proofs, 1 printer’s proof, 1 bon à tirer"
EDITIONS = [
    ("E-0001", "N-0001", "Evaporation pond, first frost", 25, STATEMENT, "open"),
    ("E-0002", "N-0001", "Evaporation pond, contact prints", None, "open edition", "open"),
    ("E-0003", "N-0006", "Ødegård: Straße im Winter", 8, "8 numbered, 2 artist’s proofs", "closed early"),
    ("2019-LM-E1", "2019-LM-14b", "写真館の窓", 5, "5 numbered", "complete"),
    ("E-0005", "N-0007", SCRIPT, 3, "3 numbered", "cancelled"),
]
OF_IMAGE = "7 signed and numbered over 2 editions: 6 numbered, 1 proof; 2 of them destroyed"
# code -> how it ended, its disclosure, what it gave out, and all of the image
SAID = {
    "E-0001": ("", "", "6 of 25 numbers given, 6 signed; 1 of 3 artist's proofs; printer's proof free", OF_IMAGE),
    "E-0002": ("", "Also printed on matt paper as E-0001, in the same size and process.",
               "1 signed, without numbers", OF_IMAGE),
    "E-0003": ("Closed early at 5 (3 May 2026).", "", "1 of 5 numbers given, 1 signed", ""),
    "E-0005": ("Cancelled on 4 May 2026; its negative was marked.", "", "1 of 3 numbers given, 1 signed", ""),
}  # fmt: skip
ERRATA = [
    ("E-0001", 1, "6 May 2026", "The leaflet of May 2026 says 30 × 40 cm; the sheet is 24 × 30.5 cm."),
    ("E-0001", 2, "9 May 2026", f"The title was misspelt on the first list: {SCRIPT}"),
]
STEPS = [
    ("2026-04-11 14:05", "develop", "warm-tone developer 1+9, 2 min 30 s, 20 °C"),
    ("2026-04-11 14:08", "stop", "citric acid 1.5 %, 30 s"),
    ("2026-04-11 14:09", "fix", "alkaline rapid fixer, first bath, 1 min"),
    ("2026-04-11 14:10", "fix", "second bath, 1 min"),
    ("2026-04-11 14:12", "rinse", "5 min running water"),
    ("2026-04-11 14:20", "wash aid", "sodium sulfite 2 %, 10 min"),
    ("2026-04-11 14:31", "wash", "slot washer, 60 min, 3.5 l/min, 19 °C"),
    ("2026-04-12", "tone", "selenium toner 1+19, 2 min"),
    ("2026-04-12", "wash", "slot washer, 45 min"),
    ("2026-04-13", "dry", "on screens, face down"),
]
GRADES = ["spot-tested", "by proven routine", "measured", "recorded", "unrecorded", "failed"]


def tonal_picture(seed: int, width: int, height: int) -> Image.Image:
    """A grey picture with a sky, a horizon and a few solid shapes, warm-toned: something to judge a layout by."""
    sky = Image.linear_gradient("L").resize((width, height))
    sky = sky.point(lambda value: 70 + value * 150 // 255)
    horizon = height * (52 + seed * 7 % 26) // 100
    ground = Image.linear_gradient("L").resize((width, height - horizon))
    ground = ground.point(lambda value: 40 + (255 - value) * 90 // 255)
    sky.paste(ground, (0, horizon))
    draw = ImageDraw.Draw(sky)
    unit = min(width, height)
    if seed % 3 == 0:
        draw.rectangle((width // 5, horizon - unit // 4, width // 5 + unit // 3, horizon + unit // 30), fill=28)
        draw.polygon(
            [(width // 5 - 9, horizon - unit // 4), (width // 5 + unit // 6, horizon - unit // 2),
             (width // 5 + unit // 3 + 9, horizon - unit // 4)], fill=44,
        )  # fmt: skip
    elif seed % 3 == 1:
        for step in range(7):
            left = width * (step * 13 + 5) // 100
            corners = [(left, height), (width // 2 + step * 4, horizon), (left + unit // 14, height)]
            draw.polygon(corners, fill=30 + step * 18)
        draw.ellipse((width * 7 // 10, horizon - unit // 3, width * 7 // 10 + unit // 6, horizon - unit // 6), fill=240)
    else:
        draw.ellipse((width // 3, horizon - unit // 3, width // 3 + unit // 3, horizon), fill=60)
        draw.rectangle((width // 3 - unit // 20, horizon - unit // 12, width // 3 + unit * 2 // 5, height), fill=24)
    noise = Image.effect_noise((width, height), 24).filter(ImageFilter.GaussianBlur(0.6))
    softened = Image.blend(sky.filter(ImageFilter.GaussianBlur(unit / 160)), noise, 0.12)
    return ImageOps.colorize(softened, (22, 17, 13), (246, 240, 228), mid=(128, 119, 107))


def add_pictures(connection: sqlite3.Connection, folder: Path, large: int, small: int) -> None:
    """Two JPEGs a negative, the last negative excepted."""
    folder.mkdir()
    shapes = [(5, 4), (4, 5), (5, 4), (1, 1), (7, 4), (4, 5)]
    for position, (code, *_rest) in enumerate(NEGATIVES[:-1]):
        across, down = shapes[position % len(shapes)]
        longest = max(across, down)
        width, height = large * across // longest, large * down // longest
        picture = tonal_picture(position, width, height)
        name = code.lower()
        picture.save(folder / f"{name}.jpg", quality=82)
        reduced = picture.resize((small * across // longest, small * down // longest))
        reduced.save(folder / f"{name}-small.jpg", quality=80)
        alt = f"{NEGATIVES[position][2]}: a flat shore, sheds against a pale sky"
        row = (f"{name}.jpg", f"{name}-small.jpg", width, height, alt)
        connection.execute("INSERT INTO picture VALUES (?,?,?,?,?)", row)


def add_number(connection: sqlite3.Connection, edition: str, kind: str, number: int, size: str, standing: str,
               print_: str | None) -> str:  # fmt: skip
    """One cell of a map; gives its label."""
    label = f"{number}{size}" if kind == "numbered" else f"{kind} {number}{size}" if size else kind
    order = ["numbered", "AP", "PP", "HC", "BAT", "EC", "CP"].index(kind)
    row = (edition, kind, number, label, standing, print_, order * 1_000_000 + number)
    connection.execute("INSERT INTO edition_number VALUES (?,?,?,?,?,?,?)", row)
    return label


def add_print(connection: sqlite3.Connection, code: str, edition: str, designation: str, standing: str,
              replaces: str = "", differs: str = "") -> None:  # fmt: skip
    """One print of an edition, its evidence grade by turns."""
    negative = next(row[1] for row in EDITIONS if row[0] == edition)
    count = connection.execute("SELECT count(*) FROM print").fetchone()[0]
    grade = GRADES[count % len(GRADES)]
    row = (
        code, edition, negative, designation, "April 2026", "negative 1998, printed 2026 (later print)",
        "signed verso in pencil, 3 May 2026",
        "warm-tone fibre-base paper, matt, 300 g/m²", "selenium 1+19, 2 min",
        "Selenium-toned; how far the silver was converted was not tested.", "19.5 × 24.3 cm", "24.0 × 30.5 cm",
        standing, grade,
        "Hypo: drop test on the control strip of 12 April 2026, no stain seen, after the last wash.",
        "Fixer B-0004 was past the capacity set for it when this was fixed.\nTested before a later wet step.",
        "Silver: drop test on the control strip of 12 April 2026, no stain seen, after the last wash.",
        "", "\n".join(claim_lines(CLAIMS_OF_METHOD["clean drop"], CLAIMS_OF_GRADE["recorded"])),
        differs, replaces, count + 1,
    )  # fmt: skip
    connection.execute(f"INSERT INTO print VALUES ({','.join('?' * len(row))})", row)


def add_editions(connection: sqlite3.Connection) -> None:
    """Maps and prints: every standing, a destroyed number, a replaced print, an open edition, own codes."""
    for position, (code, negative, title, size, statement, state) in enumerate(EDITIONS):
        row = (code, negative, title, size, statement, "19.5 × 24.3 cm", "24.0 × 30.5 cm", "gelatin silver print",
               "warm-tone fibre-base paper, matt", "selenium", "2 March 2026", state, *SAID.get(code, ("",) * 4),
               position + 1)  # fmt: skip
        connection.execute(f"INSERT INTO edition VALUES ({','.join('?' * len(row))})", row)
    connection.executemany("INSERT INTO edition_erratum VALUES (?,?,?,?)", ERRATA)
    add_print(connection, "P-000001", "E-0001", "1/25", "placed")
    add_print(connection, "P-000002", "E-0001", "2/25", "available")
    add_print(connection, "P-000003", "E-0001", "3/25", "destroyed")
    differs = "toning: gold instead of selenium"
    add_print(connection, "P-000004", "E-0001", "3/25", "placed", replaces="P-000003", differs=differs)
    add_print(connection, "P-000005", "E-0001", "4/25", "destroyed")
    add_print(connection, "P-000006", "E-0001", "5/25", "lost")
    add_print(connection, "P-000007", "E-0001", "6/25", "kept")
    add_print(connection, "P-000008", "E-0001", "AP 1/3", "available")
    add_print(connection, "P-000009", "E-0002", "1", "available")
    add_print(connection, "P-000010", "E-0003", "1/8", "available")
    add_print(connection, "2019-LM-14b-1", "2019-LM-E1", "1/5", "available")
    add_print(connection, "P-000012", "E-0005", "1/3", "kept")
    given = {1: ("placed", "P-000001"), 2: ("available", "P-000002"), 3: ("placed", "P-000004"),
             4: ("destroyed", "P-000005"), 5: ("lost", "P-000006"), 6: ("kept", "P-000007")}  # fmt: skip
    for number in range(1, 26):
        standing, code = given.get(number, ("not yet printed", None))
        standing = {7: "reserved", 8: "void"}.get(number, standing)
        add_number(connection, "E-0001", "numbered", number, "/25", standing, code)
    for number in range(1, 4):
        ready = number == 1
        add_number(connection, "E-0001", "AP", number, "/3", "available" if ready else "not yet printed",
                   "P-000008" if ready else None)  # fmt: skip
    add_number(connection, "E-0001", "PP", 1, "", "not yet printed", None)
    add_number(connection, "E-0001", "BAT", 1, "", "not yet printed", None)
    add_number(connection, "E-0002", "numbered", 1, "", "available", "P-000009")
    for number in range(1, 9):
        ready = number == 1
        add_number(connection, "E-0003", "numbered", number, "/8", "available" if ready else "not yet printed",
                   "P-000010" if ready else None)  # fmt: skip
    roman = ("E-0003", "AP", 2, "AP II/II", "void", None, 1_000_002)
    connection.execute("INSERT INTO edition_number VALUES (?,?,?,?,?,?,?)", roman)
    add_number(connection, "2019-LM-E1", "numbered", 1, "/5", "available", "2019-LM-14b-1")
    add_number(connection, "E-0005", "numbered", 1, "/3", "kept", "P-000012")


def add_certificates(connection: sqlite3.Connection) -> None:
    """A valid, a superseded and a revoked one."""
    facts = '{"artist":"Žofie Đurđević","designation":"1/25","print":"P-000001","title":"Evaporation pond"}'
    thumbprint = signing.thumbprint(KEYS[0][0])
    for x, holder, since in KEYS:
        connection.execute("INSERT INTO key VALUES (?,?,?,?,?,?)", (signing.thumbprint(x), x, holder, since, "", ""))
    x, holder, since, ended, last_day = ENDED_KEY
    row = (signing.thumbprint(x), x, holder, since, ended, last_day)
    connection.execute("INSERT INTO key VALUES (?,?,?,?,?,?)", row)
    rows = [
        ("C-0001", "P-000001", "3 May 2026", "superseded", "C-0003", OTHER_FINGERPRINT),
        ("C-0002", "P-000004", "4 May 2026", "revoked", "", THIRD_FINGERPRINT),
        ("C-0003", "P-000001", "9 May 2026", "valid", "", FINGERPRINT),
    ]
    for row in rows:
        connection.execute("INSERT INTO certificate VALUES (?,?,?,?,?,?,?,?)", (*row, thumbprint, facts))


def add_words(connection: sqlite3.Connection) -> None:
    """The search table: series, negatives, editions, prints, in the order in which results are shown."""
    rows = [(slug, "series", title, note, f"{title} {note}") for _id, slug, title, note, _position in SERIES]
    for code, _series, title, made, where, process in NEGATIVES:
        rows.append((code, "negative", title, f"{made} {process}".strip(), f"{code} {title} {made} {where} {process}"))
    for code, _negative, title, _size, statement, _state in EDITIONS:
        rows.append((code, "edition", title, statement, f"{code} {title} {statement}"))
    prints = connection.execute(
        "SELECT print.code, title, designation, standing FROM print JOIN negative ON negative.code = print.negative"
    )
    for code, title, designation, standing in prints.fetchall():
        rows.append((code, "print", title, f"{designation}, {standing}", f"{code} {title} {designation}"))
    for code, kind, title, line, words in rows:
        values = (code, kind, title, line, search.fold(words))
        connection.execute("INSERT INTO search(code, kind, title, line, words) VALUES (?,?,?,?,?)", values)


def build_public_copy(folder: Path, large: int = 320, small: int = 96) -> Path:
    """Make `folder` with public.db and pictures/ whose longer side is `large` and `small` pixels."""
    folder.mkdir(parents=True, exist_ok=True)
    connection = sqlite3.connect(folder / "public.db")
    connection.executescript(SCHEMA.read_text(encoding="utf-8"))
    facts = {"artist": "Žofie Đurđević", "artist_dates": "born 1961 in Łąka", "published_on": "12 May 2026",
             "address": "https://example.org"}  # fmt: skip
    connection.executemany("INSERT INTO site VALUES (?,?)", facts.items())
    connection.executemany("INSERT INTO series VALUES (?,?,?,?,?)", SERIES)
    add_pictures(connection, folder / "pictures", large, small)
    for position, (code, series, title, made, where, process) in enumerate(NEGATIVES):
        picture = f"{code.lower()}.jpg" if position < len(NEGATIVES) - 1 else None
        note = "" if position else "Poured and exposed from the dark tent; a crack runs through the lower left corner."
        plate = ("glass, 2 mm", "18 × 24 cm", "varnished, intact")
        row = (code, series, title, made, where, process, *plate, note, picture, position + 1)
        connection.execute(f"INSERT INTO negative VALUES ({','.join('?' * len(row))})", row)
    add_editions(connection)
    for position, step in enumerate(STEPS):
        connection.execute("INSERT INTO step VALUES (?,?,?,?,?)", ("P-000001", position + 1, *step))
    add_certificates(connection)
    add_words(connection)
    connection.commit()
    connection.close()
    return folder
