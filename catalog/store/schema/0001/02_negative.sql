-- one row a body of work
CREATE TABLE series (
    id INTEGER PRIMARY KEY,
    title TEXT NOT NULL UNIQUE COLLATE NOCASE,
    note TEXT NOT NULL DEFAULT ''
) STRICT;

-- one row a matrix: a glass plate or a film sheet
CREATE TABLE negative (
    id INTEGER PRIMARY KEY REFERENCES item(id),
    title TEXT NOT NULL CHECK (length(title) > 0),
    series INTEGER REFERENCES series(id),
    made TEXT NOT NULL DEFAULT '',
    earliest TEXT NOT NULL DEFAULT '',
    latest TEXT NOT NULL DEFAULT '',
    made_where TEXT NOT NULL DEFAULT '',
    process TEXT NOT NULL DEFAULT '',
    support TEXT NOT NULL DEFAULT '',
    height INTEGER CHECK (height > 0),         -- micrometres
    width INTEGER CHECK (width > 0),
    thickness INTEGER CHECK (thickness > 0),
    weight INTEGER CHECK (weight > 0),         -- milligrams, measured
    mark TEXT NOT NULL DEFAULT '',             -- scratched or written on the plate
    description TEXT NOT NULL DEFAULT '',      -- may be published
    note TEXT NOT NULL DEFAULT '',             -- private
    state TEXT NOT NULL DEFAULT 'in process',  -- kept by negative_event
    shown INTEGER NOT NULL DEFAULT 0 CHECK (shown IN (0, 1))
) STRICT;
CREATE INDEX negative_series ON negative(series);

CREATE TRIGGER negative_kind BEFORE INSERT ON negative
WHEN NOT EXISTS (SELECT 1 FROM item WHERE id = NEW.id AND kind = 'negative')
BEGIN SELECT RAISE(ABORT, 'negative: its code belongs to another kind of thing'); END;

CREATE TRIGGER negative_state_by_event BEFORE UPDATE OF state ON negative
WHEN OLD.state IS NOT NEW.state AND NOT EXISTS (SELECT 1 FROM undoing)
 AND NEW.state IS NOT (SELECT state FROM negative_event WHERE negative = NEW.id ORDER BY id DESC LIMIT 1)
BEGIN SELECT RAISE(ABORT, 'negative: a state changes by an event only'); END;

-- one row a change in the state of a negative
CREATE TABLE negative_event (
    id INTEGER PRIMARY KEY,
    negative INTEGER NOT NULL REFERENCES negative(id),
    state TEXT NOT NULL CHECK (state IN ('in process', 'drying', 'varnished', 'curing', 'ready', 'retired',
        'cancelled', 'broken', 'destroyed', 'lost', 'deposited')),
    happened TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    clock TEXT NOT NULL DEFAULT '',
    by TEXT NOT NULL,
    note TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX negative_event_negative ON negative_event(negative);

CREATE TRIGGER negative_event_final BEFORE INSERT ON negative_event
WHEN (EXISTS (SELECT 1 FROM negative_event WHERE negative = NEW.negative AND state = 'destroyed'))
  OR (NEW.state IN ('in process', 'drying', 'varnished', 'curing', 'ready', 'retired')
      AND EXISTS (SELECT 1 FROM negative_event WHERE negative = NEW.negative AND state IN ('cancelled', 'broken')))
BEGIN SELECT RAISE(ABORT, 'negative: what was cancelled, broken or destroyed does not become whole again'); END;

CREATE TRIGGER negative_event_state AFTER INSERT ON negative_event
BEGIN UPDATE negative SET state = NEW.state WHERE id = NEW.negative; END;
