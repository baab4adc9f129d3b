-- What a bath may take and how long it lasts are the user's figures, with where they come from.
ALTER TABLE bath ADD COLUMN position TEXT NOT NULL DEFAULT '' CHECK (position IN ('', 'first', 'second'));
ALTER TABLE bath ADD COLUMN capacity INTEGER CHECK (capacity > 0);          -- square centimetres, the whole bath
ALTER TABLE bath ADD COLUMN silver_limit INTEGER CHECK (silver_limit > 0);  -- milligrams of silver a litre
ALTER TABLE bath ADD COLUMN life INTEGER CHECK (life > 0);                  -- seconds from when it was mixed
ALTER TABLE bath ADD COLUMN metal INTEGER CHECK (metal > 0);                -- milligrams of gold chloride put in
ALTER TABLE bath ADD COLUMN basis TEXT NOT NULL DEFAULT '';                 -- of capacity, silver limit and life

-- one row what was done to a bath after it was mixed
CREATE TABLE bath_event (
    id INTEGER PRIMARY KEY,
    bath INTEGER NOT NULL REFERENCES bath(id),
    kind TEXT NOT NULL CHECK (kind IN ('cared for', 'replenished', 'promoted')),
    text TEXT NOT NULL DEFAULT '',              -- what was done, such as “sunned and filtered”
    replaced INTEGER REFERENCES bath(id) CHECK (replaced <> bath),   -- the first fixer whose place was taken
    strength TEXT NOT NULL DEFAULT '',          -- as measured then
    capacity INTEGER CHECK (capacity > 0),      -- square centimetres more that it may take
    metal INTEGER CHECK (metal > 0),            -- milligrams of gold chloride added
    happened TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    clock TEXT NOT NULL DEFAULT '',
    by TEXT NOT NULL,
    CHECK (kind = 'replenished' OR (capacity IS NULL AND metal IS NULL)),
    CHECK (kind = 'promoted' OR replaced IS NULL)
) STRICT;
CREATE INDEX bath_event_bath ON bath_event(bath);
CREATE INDEX step_bath ON step(bath) WHERE bath IS NOT NULL;
-- Grades ask first whether any bath has limits at all.
CREATE INDEX bath_limited ON bath(id) WHERE capacity IS NOT NULL OR silver_limit IS NOT NULL OR life IS NOT NULL;

CREATE TRIGGER bath_event_promoted BEFORE INSERT ON bath_event
WHEN NEW.kind = 'promoted'
 AND NOT EXISTS (SELECT 1 FROM bath WHERE id = NEW.bath AND kind = 'fixer' AND position = 'second')
BEGIN SELECT RAISE(ABORT, 'bath: only a second fixer is promoted'); END;

CREATE TRIGGER bath_event_replenished BEFORE INSERT ON bath_event
WHEN (NEW.capacity IS NOT NULL AND NOT EXISTS (SELECT 1 FROM bath WHERE id = NEW.bath AND capacity IS NOT NULL))
  OR (NEW.metal IS NOT NULL AND NOT EXISTS (SELECT 1 FROM bath WHERE id = NEW.bath AND kind = 'toner'))
BEGIN SELECT RAISE(ABORT, 'bath: capacity is added where one is set, and gold to a toner'); END;

CREATE TRIGGER bath_mixed BEFORE INSERT ON bath
WHEN ((NEW.capacity IS NOT NULL OR NEW.silver_limit IS NOT NULL OR NEW.life IS NOT NULL) AND trim(NEW.basis) = '')
  OR (NEW.kind <> 'fixer' AND (NEW.position <> '' OR NEW.silver_limit IS NOT NULL))
  OR (NEW.kind <> 'toner' AND NEW.metal IS NOT NULL) OR (NEW.in_tray = 1 AND NEW.discarded <> '')
BEGIN SELECT RAISE(ABORT, 'bath: its limits have a basis and are those of its kind, and what is gone is in no tray');
END;

CREATE TRIGGER bath_changed BEFORE UPDATE ON bath
WHEN OLD.kind IS NOT NEW.kind
  OR ((NEW.capacity IS NOT NULL OR NEW.silver_limit IS NOT NULL OR NEW.life IS NOT NULL) AND trim(NEW.basis) = '')
  OR (NEW.kind <> 'fixer' AND (NEW.position <> '' OR NEW.silver_limit IS NOT NULL))
  OR (NEW.kind <> 'toner' AND NEW.metal IS NOT NULL) OR (NEW.in_tray = 1 AND NEW.discarded <> '')
BEGIN SELECT RAISE(ABORT, 'bath: its limits have a basis and are those of its kind, and what is gone is in no tray');
END;
