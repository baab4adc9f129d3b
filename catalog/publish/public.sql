-- The public copy. Every column here was put on the allow-list by hand; nothing else leaves the studio.

-- one row a fact of the site: artist, artist_dates, published_on, address
CREATE TABLE site (
    name TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT;

-- one row a series that has something shown
CREATE TABLE series (
    id INTEGER PRIMARY KEY,
    slug TEXT NOT NULL UNIQUE,
    title TEXT NOT NULL,
    note TEXT NOT NULL DEFAULT '',
    position INTEGER NOT NULL
) STRICT;

-- one row a shown negative
CREATE TABLE negative (
    code TEXT PRIMARY KEY COLLATE NOCASE,
    series INTEGER REFERENCES series(id),
    title TEXT NOT NULL,
    made TEXT NOT NULL DEFAULT '',        -- as text, "c. 1998"
    made_where TEXT NOT NULL DEFAULT '',
    process TEXT NOT NULL DEFAULT '',
    support TEXT NOT NULL DEFAULT '',
    size TEXT NOT NULL DEFAULT '',
    state TEXT NOT NULL DEFAULT '',
    description TEXT NOT NULL DEFAULT '',
    picture TEXT REFERENCES picture(file),
    position INTEGER NOT NULL
) STRICT;
CREATE INDEX negative_series ON negative(series, position);

-- one row a picture file in pictures/
CREATE TABLE picture (
    file TEXT PRIMARY KEY,                -- large file name, inside pictures/
    small TEXT NOT NULL,                  -- small file name, inside pictures/
    width INTEGER NOT NULL,
    height INTEGER NOT NULL,
    alt TEXT NOT NULL
) STRICT;

-- one row a shown edition
CREATE TABLE edition (
    code TEXT PRIMARY KEY COLLATE NOCASE,
    negative TEXT NOT NULL REFERENCES negative(code),
    title TEXT NOT NULL,
    size INTEGER,                         -- numbered size, null when open
    statement TEXT NOT NULL,              -- "25 numbered, 3 artist's proofs, 1 printer's proof"
    image_size TEXT NOT NULL DEFAULT '',
    sheet_size TEXT NOT NULL DEFAULT '',
    process TEXT NOT NULL DEFAULT '',
    paper TEXT NOT NULL DEFAULT '',
    toning TEXT NOT NULL DEFAULT '',
    declared TEXT NOT NULL DEFAULT '',
    state TEXT NOT NULL,                  -- open, closed early, complete, cancelled
    ended TEXT NOT NULL DEFAULT '',       -- how, and what became of the negative
    disclosure TEXT NOT NULL DEFAULT '',  -- of a second edition of one size and process
    counted TEXT NOT NULL DEFAULT '',     -- what this edition gave out
    of_image TEXT NOT NULL DEFAULT '',    -- all signed and numbered prints of the image, where all its editions are public
    position INTEGER NOT NULL
) STRICT;
CREATE INDEX edition_negative ON edition(negative, position);

-- one row a mistake in what was said of a shown edition, and how it is right
CREATE TABLE edition_erratum (
    edition TEXT NOT NULL REFERENCES edition(code) COLLATE NOCASE,
    position INTEGER NOT NULL,
    happened TEXT NOT NULL,
    text TEXT NOT NULL,
    PRIMARY KEY (edition, position)
) STRICT, WITHOUT ROWID;

-- one row a number or proof of a shown edition: its map
CREATE TABLE edition_number (
    edition TEXT NOT NULL REFERENCES edition(code) COLLATE NOCASE,
    kind TEXT NOT NULL,                   -- numbered, AP, PP, HC, BAT, EC, CP
    number INTEGER NOT NULL,
    label TEXT NOT NULL,                  -- "3/25", "AP 1/3"
    standing TEXT NOT NULL,               -- not yet printed, reserved, available, placed, kept, destroyed, lost, void
    print TEXT,
    position INTEGER NOT NULL,
    PRIMARY KEY (edition, kind, number)
) STRICT, WITHOUT ROWID;

-- one row a designated print of a shown edition
CREATE TABLE print (
    code TEXT PRIMARY KEY COLLATE NOCASE,
    edition TEXT NOT NULL REFERENCES edition(code),
    negative TEXT NOT NULL REFERENCES negative(code),
    designation TEXT NOT NULL,            -- "3/25"
    made TEXT NOT NULL DEFAULT '',
    dates TEXT NOT NULL DEFAULT '',       -- "negative 1998, printed 2026 (later print)": never the word alone
    signed TEXT NOT NULL DEFAULT '',      -- "signed verso in pencil, 3 May 2026"
    paper TEXT NOT NULL DEFAULT '',
    toning TEXT NOT NULL DEFAULT '',
    protection TEXT NOT NULL DEFAULT '',  -- how little is known of a toning
    image_size TEXT NOT NULL DEFAULT '',
    sheet_size TEXT NOT NULL DEFAULT '',
    standing TEXT NOT NULL,
    grade TEXT NOT NULL,                  -- evidence grade, the weaker of the two
    hypo TEXT NOT NULL,                   -- sentence
    hypo_doubts TEXT NOT NULL DEFAULT '', -- sentences, a line each
    silver TEXT NOT NULL,                 -- sentence
    silver_doubts TEXT NOT NULL DEFAULT '',
    claims TEXT NOT NULL DEFAULT '',      -- what may be said and what not: sentences, a line each
    differs TEXT NOT NULL DEFAULT '',     -- where it differs from what the edition intended
    replaces TEXT NOT NULL DEFAULT '',
    position INTEGER NOT NULL
) STRICT;
CREATE INDEX print_edition ON print(edition, position);
CREATE INDEX print_replaces ON print(replaces) WHERE replaces <> '';

-- one row a processing step of a public print, in order
CREATE TABLE step (
    print TEXT NOT NULL REFERENCES print(code) COLLATE NOCASE,
    position INTEGER NOT NULL,
    happened TEXT NOT NULL,
    kind TEXT NOT NULL,
    detail TEXT NOT NULL DEFAULT '',
    PRIMARY KEY (print, position)
) STRICT, WITHOUT ROWID;

-- one row a certificate of a public print: what a holder compares with the paper
CREATE TABLE certificate (
    code TEXT PRIMARY KEY COLLATE NOCASE,
    print TEXT NOT NULL REFERENCES print(code),
    issued TEXT NOT NULL,
    standing TEXT NOT NULL,               -- valid, superseded, revoked
    superseded_by TEXT NOT NULL DEFAULT '',
    fingerprint TEXT NOT NULL,            -- SHA-256 of the facts, grouped hexadecimal
    thumbprint TEXT NOT NULL,             -- RFC 7638 thumbprint of the signing key
    facts TEXT NOT NULL                   -- public facts, canonical JSON
) STRICT;
CREATE INDEX certificate_print ON certificate(print);

-- one row a public key of the studio, those that signed once among them
CREATE TABLE key (
    thumbprint TEXT PRIMARY KEY,          -- RFC 7638
    x TEXT NOT NULL,                      -- RFC 8037, base64url
    holder TEXT NOT NULL,                 -- the artist, the artist's estate
    since TEXT NOT NULL,
    ended TEXT NOT NULL DEFAULT '',       -- as text
    last_day TEXT NOT NULL DEFAULT ''     -- the day after which it signed nothing, to be compared
) STRICT;

-- words of all pages, folded; position orders results of equal rank
CREATE VIRTUAL TABLE search USING fts5 (
    code UNINDEXED, kind UNINDEXED, title UNINDEXED, line UNINDEXED, words, tokenize = 'unicode61'
);
