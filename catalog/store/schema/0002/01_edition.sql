-- how proofs are numbered, and the decision to make a second edition of one size, printed with both
ALTER TABLE edition ADD COLUMN numerals TEXT NOT NULL DEFAULT 'arabic' CHECK (numerals IN ('arabic', 'roman'));
ALTER TABLE edition ADD COLUMN disclosure TEXT NOT NULL DEFAULT '';

-- one row a mistake in what was said of an edition, printed with it from then on
CREATE TABLE edition_erratum (
    id INTEGER PRIMARY KEY,
    edition INTEGER NOT NULL REFERENCES edition(id),
    text TEXT NOT NULL CHECK (length(text) > 0),
    happened TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    by TEXT NOT NULL
) STRICT;
CREATE INDEX edition_erratum_edition ON edition_erratum(edition);

-- one row an end of an edition: closed early, complete or cancelled, and then what became of the negative
CREATE TABLE edition_event (
    id INTEGER PRIMARY KEY,
    edition INTEGER NOT NULL REFERENCES edition(id),
    state TEXT NOT NULL CHECK (state IN ('closed early', 'complete', 'cancelled')),
    fate TEXT NOT NULL DEFAULT '' CHECK (fate IN ('', 'kept', 'retired', 'marked', 'broken', 'destroyed', 'deposited')),
    happened TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    by TEXT NOT NULL,
    note TEXT NOT NULL DEFAULT '',
    CHECK ((state = 'cancelled') = (fate <> ''))
) STRICT;
CREATE INDEX edition_event_edition ON edition_event(edition);

-- Paper or toning alone makes no second edition of one size and process: somebody decides it, and every paper says so.
CREATE TRIGGER edition_second BEFORE INSERT ON edition
WHEN NEW.disclosure = '' AND EXISTS (SELECT 1 FROM edition e WHERE e.negative = NEW.negative
     AND e.image_height IS NEW.image_height AND e.image_width IS NEW.image_width
     AND e.process = NEW.process COLLATE NOCASE
     AND (e.state <> 'cancelled' OR EXISTS (SELECT 1 FROM print p WHERE p.edition = e.id AND p.kind IS NOT NULL
          AND p.kind NOT IN ('work', 'reference', 'CP'))))
BEGIN SELECT RAISE(ABORT, 'edition: another one has this size and process; a second one is disclosed'); END;

CREATE TRIGGER edition_said BEFORE UPDATE OF numerals, disclosure ON edition
WHEN NOT EXISTS (SELECT 1 FROM undoing)
 AND (OLD.numerals IS NOT NEW.numerals OR OLD.disclosure IS NOT NEW.disclosure)
 AND EXISTS (SELECT 1 FROM print WHERE edition = OLD.id AND kind IS NOT NULL AND kind NOT IN ('work', 'reference'))
BEGIN SELECT RAISE(ABORT, 'edition: what it said of itself never changes after the first signed print'); END;
