-- one row a described stock of printing paper
CREATE TABLE paper (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE COLLATE NOCASE CHECK (length(name) > 0),   -- what the printer calls it
    description TEXT NOT NULL,     -- as printed on documents
    base TEXT NOT NULL DEFAULT '',
    surface TEXT NOT NULL DEFAULT '',
    tone TEXT NOT NULL DEFAULT '',
    weight INTEGER CHECK (weight > 0),     -- grams a square metre
    batch TEXT NOT NULL DEFAULT '',
    opened TEXT NOT NULL DEFAULT '',
    note TEXT NOT NULL DEFAULT ''
) STRICT;

-- one row an impression on paper that was kept
CREATE TABLE print (
    id INTEGER PRIMARY KEY REFERENCES item(id),
    negative INTEGER NOT NULL REFERENCES negative(id),
    edition INTEGER REFERENCES edition(id),
    paper INTEGER REFERENCES paper(id),
    made TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    clock TEXT NOT NULL DEFAULT '',
    printed_by TEXT NOT NULL DEFAULT '',
    supervised_by TEXT NOT NULL DEFAULT '',
    image_height INTEGER CHECK (image_height > 0),   -- micrometres; null: as the edition, else the negative
    image_width INTEGER CHECK (image_width > 0),
    sheet_height INTEGER CHECK (sheet_height > 0),
    sheet_width INTEGER CHECK (sheet_width > 0),
    kind TEXT CHECK (kind IN ('numbered', 'open', 'AP', 'PP', 'HC', 'BAT', 'EC', 'CP', 'work', 'reference', 'unique')),
    number INTEGER CHECK (number > 0),
    replaces INTEGER REFERENCES print(id),
    signed TEXT NOT NULL DEFAULT '',
    signed_earliest TEXT NOT NULL DEFAULT '',
    presentation TEXT NOT NULL DEFAULT '',
    state TEXT NOT NULL DEFAULT 'living' CHECK (state IN ('living', 'destroyed', 'lost')),
    note TEXT NOT NULL DEFAULT '',
    CHECK ((number IS NOT NULL) = (kind IS NOT NULL AND kind IN ('numbered', 'AP', 'PP', 'HC', 'BAT', 'EC', 'CP'))),
    CHECK (kind IS NULL OR kind IN ('work', 'reference', 'unique') OR edition IS NOT NULL),
    CHECK (replaces IS NULL OR number IS NOT NULL)
) STRICT;
CREATE UNIQUE INDEX print_number ON print(edition, kind, number) WHERE replaces IS NULL AND number IS NOT NULL;
CREATE UNIQUE INDEX print_replaces ON print(replaces) WHERE replaces IS NOT NULL;
CREATE INDEX print_holders ON print(edition, kind, number);
CREATE INDEX print_negative ON print(negative);

CREATE TRIGGER print_made_of BEFORE INSERT ON print
WHEN NOT EXISTS (SELECT 1 FROM item WHERE id = NEW.id AND kind = 'print')
  OR (NEW.edition IS NOT NULL AND NEW.negative IS NOT (SELECT negative FROM edition WHERE id = NEW.edition))
BEGIN SELECT RAISE(ABORT, 'print: its code and its edition belong to another thing'); END;

CREATE TRIGGER print_negative_gone BEFORE INSERT ON print
WHEN NEW.kind IS NOT 'CP' AND EXISTS (SELECT 1 FROM negative_event WHERE negative = NEW.negative
     AND state IN ('cancelled', 'broken', 'destroyed') AND NEW.latest > latest)
BEGIN SELECT RAISE(ABORT, 'print: its negative was cancelled, broken or destroyed before that date'); END;

CREATE TRIGGER print_designated_insert BEFORE INSERT ON print
WHEN NEW.number IS NOT NULL AND NEW.replaces IS NULL AND EXISTS (SELECT 1 FROM edition_number
     WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number AND standing IN ('given', 'void'))
BEGIN SELECT RAISE(ABORT, 'print: this number is given to another print, or void'); END;

CREATE TRIGGER print_designated_update BEFORE UPDATE OF edition, kind, number, replaces ON print
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND NEW.number IS NOT NULL AND NEW.replaces IS NULL
 AND (OLD.edition IS NOT NEW.edition OR OLD.kind IS NOT NEW.kind OR OLD.number IS NOT NEW.number
      OR OLD.replaces IS NOT NEW.replaces)
 AND EXISTS (SELECT 1 FROM edition_number WHERE edition = NEW.edition AND kind = NEW.kind
     AND number = NEW.number AND standing IN ('given', 'void'))
BEGIN SELECT RAISE(ABORT, 'print: this number is given to another print, or void'); END;

CREATE TRIGGER print_frozen BEFORE UPDATE OF negative, edition, kind, number, replaces, signed ON print
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.kind IS NOT NULL AND OLD.kind NOT IN ('work', 'reference')
 AND (OLD.negative IS NOT NEW.negative OR OLD.edition IS NOT NEW.edition OR OLD.kind IS NOT NEW.kind
   OR OLD.number IS NOT NEW.number OR OLD.replaces IS NOT NEW.replaces
   OR (OLD.signed <> '' AND OLD.signed IS NOT NEW.signed))
 AND (EXISTS (SELECT 1 FROM certificate WHERE print = OLD.id) OR EXISTS (SELECT 1 FROM transfer WHERE item = OLD.id)
   OR NOT EXISTS (SELECT 1 FROM correction WHERE subject = OLD.id AND id = (SELECT max(id) FROM correction)
      AND field IN ('designation', 'signed')))
BEGIN SELECT RAISE(ABORT, 'print: a designation changes by a recorded correction only, before any certificate or transfer'); END;

CREATE TRIGGER print_negative_fixed BEFORE UPDATE OF negative, edition ON print
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND (OLD.negative IS NOT NEW.negative
  OR (NEW.edition IS NOT NULL AND NEW.negative IS NOT (SELECT negative FROM edition WHERE id = NEW.edition)))
BEGIN SELECT RAISE(ABORT, 'print: an impression is of one negative for ever, and its edition of the same'); END;

CREATE TRIGGER print_replacement_insert BEFORE INSERT ON print
WHEN NEW.replaces IS NOT NULL AND NOT EXISTS (SELECT 1 FROM print WHERE id = NEW.replaces AND id <> NEW.id
     AND edition IS NEW.edition AND kind IS NEW.kind AND number IS NEW.number AND state = 'destroyed')
BEGIN SELECT RAISE(ABORT, 'print: it may replace only a destroyed print of the same number'); END;

CREATE TRIGGER print_replacement_update BEFORE UPDATE OF replaces, number, kind, edition ON print
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND NEW.replaces IS NOT NULL
 AND NOT EXISTS (SELECT 1 FROM print WHERE id = NEW.replaces AND id <> NEW.id
     AND edition IS NEW.edition AND kind IS NEW.kind AND number IS NEW.number AND state = 'destroyed')
BEGIN SELECT RAISE(ABORT, 'print: it may replace only a destroyed print of the same number'); END;

CREATE TRIGGER print_after_death_insert BEFORE INSERT ON print
WHEN NEW.signed <> '' AND NOT EXISTS (SELECT 1 FROM edition WHERE id = NEW.edition AND estate = 1)
 AND NEW.signed_earliest > (SELECT died_latest FROM party, catalog WHERE party.id = catalog.artist AND died_latest <> '')
BEGIN SELECT RAISE(ABORT, 'print: nothing is signed by the artist after the artist''s death'); END;

CREATE TRIGGER print_after_death_update BEFORE UPDATE OF signed, signed_earliest, number ON print
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND NEW.signed <> ''
 AND NOT EXISTS (SELECT 1 FROM edition WHERE id = NEW.edition AND estate = 1)
 AND NEW.signed_earliest > (SELECT died_latest FROM party, catalog WHERE party.id = catalog.artist AND died_latest <> '')
BEGIN SELECT RAISE(ABORT, 'print: nothing is signed by the artist after the artist''s death'); END;

CREATE TRIGGER print_destroyed_stays BEFORE UPDATE OF state ON print
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.state = 'destroyed' AND NEW.state <> 'destroyed'
BEGIN SELECT RAISE(ABORT, 'print: what is destroyed stays destroyed'); END;

CREATE TRIGGER print_state_insert BEFORE INSERT ON print WHEN NEW.state <> 'living'
BEGIN SELECT RAISE(ABORT, 'print: a state changes by a transfer only'); END;

CREATE TRIGGER print_state_by_transfer BEFORE UPDATE OF state ON print
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.state <> NEW.state AND NEW.state <> coalesce(
    (SELECT CASE kind WHEN 'destruction' THEN 'destroyed' WHEN 'finding' THEN 'living' ELSE 'lost' END FROM transfer
     WHERE item = NEW.id AND kind IN ('destruction', 'loss', 'theft', 'finding') ORDER BY sequence DESC LIMIT 1), 'living')
BEGIN SELECT RAISE(ABORT, 'print: a state changes by a transfer only'); END;

CREATE TRIGGER print_signed_living BEFORE UPDATE OF signed ON print
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.signed = '' AND NEW.signed <> '' AND NEW.state <> 'living'
BEGIN SELECT RAISE(ABORT, 'print: nothing is signed on what is destroyed or lost'); END;

-- the register of numbers follows the prints
CREATE TRIGGER print_number_given_insert AFTER INSERT ON print WHEN NEW.number IS NOT NULL
BEGIN
    UPDATE edition_number SET standing = 'given'
        WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number AND standing <> 'given';
    INSERT INTO edition_number (edition, kind, number, standing)
        SELECT NEW.edition, NEW.kind, NEW.number, 'given' WHERE NOT EXISTS
        (SELECT 1 FROM edition_number WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number);
END;

CREATE TRIGGER print_number_given_update AFTER UPDATE OF edition, kind, number ON print
WHEN NOT EXISTS (SELECT 1 FROM undoing)
 AND (OLD.edition IS NOT NEW.edition OR OLD.kind IS NOT NEW.kind OR OLD.number IS NOT NEW.number)
BEGIN
    UPDATE edition_number SET standing = 'free'
        WHERE edition = OLD.edition AND kind = OLD.kind AND number = OLD.number AND standing = 'given';
    UPDATE edition_number SET standing = 'given'
        WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number AND standing <> 'given';
    INSERT INTO edition_number (edition, kind, number, standing)
        SELECT NEW.edition, NEW.kind, NEW.number, 'given' WHERE NEW.number IS NOT NULL AND NOT EXISTS
        (SELECT 1 FROM edition_number WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number);
END;

-- one row an inscription on a print: what, where, with what
CREATE TABLE inscription (
    id INTEGER PRIMARY KEY,
    print INTEGER NOT NULL REFERENCES print(id),
    text TEXT NOT NULL CHECK (length(text) > 0),
    position TEXT NOT NULL DEFAULT 'verso',
    medium TEXT NOT NULL DEFAULT 'pencil',
    signature INTEGER NOT NULL DEFAULT 0 CHECK (signature IN (0, 1)),
    happened TEXT NOT NULL,
    by TEXT NOT NULL
) STRICT;
CREATE INDEX inscription_print ON inscription(print);

CREATE TRIGGER inscription_by_correction BEFORE UPDATE ON inscription
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND NOT EXISTS (SELECT 1 FROM correction
     WHERE subject = OLD.print AND id = (SELECT max(id) FROM correction))
BEGIN SELECT RAISE(ABORT, 'inscription: what stands on a print changes by a recorded correction only'); END;
