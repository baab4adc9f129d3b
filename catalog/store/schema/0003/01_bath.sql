-- What a bath may take and how long it lasts are the user's figures, with where they come from.
ALTER TABLE bath ADD COLUMN position TEXT NOT NULL DEFAULT '' CHECK (position IN ('', 'first', 'second'));
ALTER TABLE bath ADD COLUMN capacity INTEGER CHECK (capacity > 0);          -- square centimetres, the whole bath
ALTER TABLE bath ADD COLUMN silver_limit INTEGER CHECK (silver_limit > 0);  -- milligrams of silver a litre
ALTER TABLE bath ADD COLUMN life INTEGER CHECK (life > 0);                  -- seconds from when it was mixed
ALTER TABLE bath ADD COLUMN metal INTEGER CHECK (metal > 0);                -- milligrams of gold put into it
ALTER TABLE bath ADD COLUMN basis TEXT NOT NULL DEFAULT '';                 -- of capacity, silver limit and life

-- one row what was done to a bath after it was mixed
CREATE TABLE bath_event (
    id INTEGER PRIMARY KEY,
    bath INTEGER NOT NULL REFERENCES bath(id),
    kind TEXT NOT NULL CHECK (kind IN ('cared for', 'replenished', 'promoted')),
    text TEXT NOT NULL DEFAULT '',              -- what was done, such as “sunned and filtered”
    strength TEXT NOT NULL DEFAULT '',          -- as measured then
    capacity INTEGER CHECK (capacity > 0),      -- square centimetres more that it may take
    metal INTEGER CHECK (metal > 0),            -- milligrams of gold added
    happened TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    clock TEXT NOT NULL DEFAULT '',
    by TEXT NOT NULL,
    CHECK (kind = 'replenished' OR (capacity IS NULL AND metal IS NULL))
) STRICT;
CREATE INDEX bath_event_bath ON bath_event(bath);
CREATE INDEX step_bath ON step(bath) WHERE bath IS NOT NULL;

CREATE TRIGGER bath_event_fixed BEFORE UPDATE ON bath_event
WHEN NOT EXISTS (SELECT 1 FROM undoing)
BEGIN SELECT RAISE(ABORT, 'bath: what was done to it stays as it was told'); END;

CREATE TRIGGER bath_event_promoted BEFORE INSERT ON bath_event
WHEN NEW.kind = 'promoted' AND NOT EXISTS (SELECT 1 FROM bath WHERE id = NEW.bath AND kind = 'fixer')
BEGIN SELECT RAISE(ABORT, 'bath: only a second fixer is promoted'); END;
