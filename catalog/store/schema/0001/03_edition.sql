-- one row a declared edition: one image, one size, one process
CREATE TABLE edition (
    id INTEGER PRIMARY KEY REFERENCES code(id),
    negative INTEGER NOT NULL REFERENCES negative(id),
    title TEXT NOT NULL CHECK (length(title) > 0),
    size INTEGER CHECK (size > 0),             -- null: open, no numbers
    image_height INTEGER CHECK (image_height > 0),   -- micrometres
    image_width INTEGER CHECK (image_width > 0),
    sheet_height INTEGER CHECK (sheet_height > 0),
    sheet_width INTEGER CHECK (sheet_width > 0),
    process TEXT NOT NULL DEFAULT '',
    paper TEXT NOT NULL DEFAULT '',            -- as intended; each print has its own
    toning TEXT NOT NULL DEFAULT '',           -- as intended
    estate INTEGER NOT NULL DEFAULT 0 CHECK (estate IN (0, 1)),
    declared TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    closed_at INTEGER CHECK (closed_at > 0),   -- highest number after closing early
    state TEXT NOT NULL DEFAULT 'declared' CHECK (state IN ('declared', 'closed early', 'complete', 'cancelled')),
    note TEXT NOT NULL DEFAULT '',             -- private
    shown INTEGER NOT NULL DEFAULT 0 CHECK (shown IN (0, 1)),
    CHECK (closed_at IS NULL OR closed_at <= size)
) STRICT;
CREATE INDEX edition_negative ON edition(negative);

CREATE TRIGGER edition_kind BEFORE INSERT ON edition
WHEN NOT EXISTS (SELECT 1 FROM code WHERE id = NEW.id AND kind = 'edition')
BEGIN SELECT RAISE(ABORT, 'edition: its code belongs to another kind of thing'); END;

-- one row a kind of proof declared with an edition
CREATE TABLE edition_proofs (
    edition INTEGER NOT NULL REFERENCES edition(id),
    kind TEXT NOT NULL CHECK (kind IN ('AP', 'PP', 'HC', 'BAT', 'EC', 'CP')),
    count INTEGER NOT NULL CHECK (count > 0),
    PRIMARY KEY (edition, kind)
) STRICT, WITHOUT ROWID;  -- a hidden row number would be a second key that nothing guards

-- one row a number that was reserved, given or made void; never taken away again
CREATE TABLE edition_number (
    edition INTEGER NOT NULL REFERENCES edition(id),
    kind TEXT NOT NULL CHECK (kind IN ('numbered', 'AP', 'PP', 'HC', 'BAT', 'EC', 'CP')),
    number INTEGER NOT NULL CHECK (number > 0),
    standing TEXT NOT NULL CHECK (standing IN ('reserved', 'given', 'void', 'free')),
    PRIMARY KEY (edition, kind, number)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER edition_number_declared_insert BEFORE INSERT ON edition_number
WHEN NEW.number > coalesce(
    CASE WHEN NEW.kind = 'numbered' THEN (SELECT coalesce(closed_at, size) FROM edition WHERE id = NEW.edition)
         ELSE (SELECT count FROM edition_proofs WHERE edition = NEW.edition AND kind = NEW.kind) END, 0)
BEGIN SELECT RAISE(ABORT, 'edition: no more numbers or proofs than declared'); END;

CREATE TRIGGER edition_number_final BEFORE UPDATE OF standing ON edition_number
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.standing <> NEW.standing
 AND (OLD.standing = 'void' OR (OLD.standing = 'given' AND EXISTS
     (SELECT 1 FROM print WHERE edition = OLD.edition AND kind = OLD.kind AND number = OLD.number)))
BEGIN SELECT RAISE(ABORT, 'edition: a number once given or void stays so'); END;

-- one row a price, from a number of sales on
CREATE TABLE edition_price (
    id INTEGER PRIMARY KEY,
    edition INTEGER NOT NULL REFERENCES edition(id),
    from_sale INTEGER NOT NULL DEFAULT 1 CHECK (from_sale > 0),
    amount INTEGER NOT NULL CHECK (amount >= 0),     -- minor units
    currency TEXT NOT NULL CHECK (length(currency) = 3),
    since TEXT NOT NULL,
    by TEXT NOT NULL
) STRICT;
CREATE INDEX edition_price_edition ON edition_price(edition);

CREATE TRIGGER edition_size_frozen BEFORE UPDATE OF size ON edition
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.size IS NOT NEW.size
 AND EXISTS (SELECT 1 FROM print WHERE edition = OLD.id AND kind IS NOT NULL AND kind NOT IN ('work', 'reference'))
BEGIN SELECT RAISE(ABORT, 'edition: its declared size never changes after the first signed print'); END;

CREATE TRIGGER edition_closed_at BEFORE UPDATE OF closed_at ON edition
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.closed_at IS NOT NEW.closed_at
 AND (OLD.closed_at IS NOT NULL OR NEW.closed_at < coalesce((SELECT max(number) FROM edition_number
      WHERE edition = OLD.id AND kind = 'numbered' AND standing IN ('given', 'reserved')), 0))
BEGIN SELECT RAISE(ABORT, 'edition: closes once, at or above the highest number given'); END;

CREATE TRIGGER edition_state_final BEFORE UPDATE OF state ON edition
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.state IS NOT NEW.state AND OLD.state <> 'declared'
 AND NEW.state <> 'cancelled'
BEGIN SELECT RAISE(ABORT, 'edition: what is closed, complete or cancelled does not open again'); END;

CREATE TRIGGER edition_frozen BEFORE UPDATE OF negative, image_height, image_width, sheet_height, sheet_width, process
ON edition
WHEN NOT EXISTS (SELECT 1 FROM undoing)
 AND (OLD.negative IS NOT NEW.negative OR OLD.image_height IS NOT NEW.image_height
   OR OLD.image_width IS NOT NEW.image_width OR OLD.sheet_height IS NOT NEW.sheet_height
   OR OLD.sheet_width IS NOT NEW.sheet_width OR OLD.process IS NOT NEW.process)
 AND EXISTS (SELECT 1 FROM print p WHERE p.edition = OLD.id AND (
     EXISTS (SELECT 1 FROM certificate c WHERE c.print = p.id)
     OR EXISTS (SELECT 1 FROM transfer t WHERE t.item = p.id)))
BEGIN SELECT RAISE(ABORT, 'edition: image, size and process are frozen after the first certificate, sale or consignment'); END;

CREATE TRIGGER edition_proofs_frozen_insert BEFORE INSERT ON edition_proofs
WHEN EXISTS (SELECT 1 FROM print WHERE edition = NEW.edition AND kind IS NOT NULL AND kind NOT IN ('work', 'reference'))
BEGIN SELECT RAISE(ABORT, 'edition: its proofs never change after the first signed print'); END;

CREATE TRIGGER edition_proofs_frozen_update BEFORE UPDATE ON edition_proofs
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.count IS NOT NEW.count
 AND EXISTS (SELECT 1 FROM print WHERE edition = OLD.edition AND kind IS NOT NULL AND kind NOT IN ('work', 'reference'))
BEGIN SELECT RAISE(ABORT, 'edition: its proofs never change after the first signed print'); END;

-- one row a number held for someone before it is printed
CREATE TABLE promise (
    id INTEGER PRIMARY KEY,
    edition INTEGER NOT NULL,
    kind TEXT NOT NULL,
    number INTEGER NOT NULL,
    party INTEGER NOT NULL REFERENCES party(id),
    promised TEXT NOT NULL,
    until TEXT NOT NULL DEFAULT '',
    until_latest TEXT NOT NULL DEFAULT '',
    ended TEXT NOT NULL DEFAULT '' CHECK (ended IN ('', 'kept', 'withdrawn')),
    by TEXT NOT NULL,
    note TEXT NOT NULL DEFAULT '',
    FOREIGN KEY (edition, kind, number) REFERENCES edition_number(edition, kind, number)
) STRICT;
CREATE UNIQUE INDEX promise_open ON promise(edition, kind, number) WHERE ended = '';
