-- one row a table that was brought in from a file: whose rows they are, and what its headings were taken to mean
CREATE TABLE import_file (
    id INTEGER PRIMARY KEY,
    noun TEXT NOT NULL CHECK (noun IN ('negatives', 'prints', 'editions', 'places', 'parties', 'tests')),
    name TEXT NOT NULL CHECK (length(name) > 0),     -- of the file, without its folder
    sha256 TEXT NOT NULL CHECK (length(sha256) = 64),
    headings TEXT NOT NULL,                          -- JSON: heading -> the field it was taken for, "" where none
    happened TEXT NOT NULL,
    by TEXT NOT NULL
) STRICT;

-- one row a row of such a file: what stood in it, as written, and the thing it became
CREATE TABLE import_row (
    id INTEGER PRIMARY KEY,
    file INTEGER NOT NULL REFERENCES import_file(id),
    line INTEGER NOT NULL CHECK (line > 0),          -- row of the sheet, counted from 1 with the headings
    digest TEXT NOT NULL UNIQUE,                     -- of noun, cells and which of its like it is: the same row adds nothing again
    thing INTEGER NOT NULL,                          -- code, party, place or residual test, as the noun of its file says
    cells TEXT NOT NULL,                             -- JSON: heading -> text, without empty cells and ways to reach somebody
    notes TEXT NOT NULL DEFAULT '[]'                 -- JSON: the headings no field took or whose text was not understood
) STRICT;
CREATE INDEX import_row_thing ON import_row(thing);

-- A negative that is written with its first state does not change by the event that tells it: one journal row less.
DROP TRIGGER negative_event_state;
CREATE TRIGGER negative_event_state AFTER INSERT ON negative_event
BEGIN UPDATE negative SET state = NEW.state WHERE id = NEW.negative AND state <> NEW.state; END;
