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
    closed_at INTEGER CHECK (closed_at > 0),   -- highest number after closing early
    CHECK ((state = 'cancelled') = (fate <> '')),
    CHECK ((state = 'closed early') = (closed_at IS NOT NULL))
) STRICT;
CREATE INDEX edition_event_edition ON edition_event(edition);

-- Paper or toning alone makes no second edition of one size and process: somebody decides it, and every paper says so.
-- With the same paper and toning it is the same edition again, whatever is said. A size not known counts as the same;
-- records/second_editions.py knows more ways to write one process, and refuses more.
CREATE TRIGGER edition_second BEFORE INSERT ON edition
WHEN EXISTS (SELECT 1 FROM edition e WHERE e.negative = NEW.negative
     AND (e.image_height IS NULL OR NEW.image_height IS NULL OR abs(e.image_height - NEW.image_height) <= 5000)
     AND (e.image_width IS NULL OR NEW.image_width IS NULL OR abs(e.image_width - NEW.image_width) <= 5000)
     AND lower(trim(replace(e.process, '-', ' '))) = lower(trim(replace(NEW.process, '-', ' ')))
     AND (NEW.disclosure = '' OR (lower(trim(e.paper)) = lower(trim(NEW.paper))
          AND lower(trim(e.toning)) = lower(trim(NEW.toning)) AND e.estate = NEW.estate))
     AND (e.state <> 'cancelled' OR EXISTS (SELECT 1 FROM print p WHERE p.edition = e.id AND p.kind IS NOT NULL
          AND p.kind NOT IN ('work', 'reference', 'CP'))))
BEGIN SELECT RAISE(ABORT, 'edition: another one has this size and process; a second one is disclosed'); END;

CREATE TRIGGER edition_becoming_second BEFORE UPDATE OF negative, image_height, image_width, process, disclosure ON edition
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND NEW.disclosure = ''
 AND (OLD.disclosure <> '' OR OLD.negative IS NOT NEW.negative OR OLD.process IS NOT NEW.process
   OR OLD.image_height IS NOT NEW.image_height OR OLD.image_width IS NOT NEW.image_width)
 AND EXISTS (SELECT 1 FROM edition e WHERE e.negative = NEW.negative AND e.id <> NEW.id
     AND (e.image_height IS NULL OR NEW.image_height IS NULL OR abs(e.image_height - NEW.image_height) <= 5000)
     AND (e.image_width IS NULL OR NEW.image_width IS NULL OR abs(e.image_width - NEW.image_width) <= 5000)
     AND lower(trim(replace(e.process, '-', ' '))) = lower(trim(replace(NEW.process, '-', ' ')))
     AND (e.state <> 'cancelled' OR EXISTS (SELECT 1 FROM print p WHERE p.edition = e.id AND p.kind IS NOT NULL
          AND p.kind NOT IN ('work', 'reference', 'CP'))))
BEGIN SELECT RAISE(ABORT, 'edition: another one has this size and process; a second one is disclosed'); END;

-- A plate that is gone makes no edition from then on, and what is called unique stands beside none.
CREATE TRIGGER edition_negative_gone BEFORE INSERT ON edition
WHEN EXISTS (SELECT 1 FROM negative_event WHERE negative = NEW.negative
     AND state IN ('cancelled', 'broken', 'destroyed') AND NEW.earliest > latest)
BEGIN SELECT RAISE(ABORT, 'edition: its negative was cancelled, broken or destroyed before that date'); END;

CREATE TRIGGER edition_beside_unique BEFORE INSERT ON edition
WHEN EXISTS (SELECT 1 FROM print WHERE negative = NEW.negative AND kind = 'unique' AND state <> 'destroyed')
BEGIN SELECT RAISE(ABORT, 'edition: a print of this image is called unique, and would not be'); END;

CREATE TRIGGER edition_estate_stays BEFORE UPDATE OF estate ON edition
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.estate IS NOT NEW.estate
BEGIN SELECT RAISE(ABORT, 'edition: one of an estate is declared so, and stays so'); END;

CREATE TRIGGER edition_said BEFORE UPDATE OF numerals, disclosure ON edition
WHEN NOT EXISTS (SELECT 1 FROM undoing)
 AND (OLD.numerals IS NOT NEW.numerals OR OLD.disclosure IS NOT NEW.disclosure)
 AND EXISTS (SELECT 1 FROM print WHERE edition = OLD.id AND kind IS NOT NULL AND kind NOT IN ('work', 'reference'))
BEGIN SELECT RAISE(ABORT, 'edition: what it said of itself never changes after the first signed print'); END;
