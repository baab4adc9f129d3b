-- one row a change of one row, written by triggers
CREATE TABLE journal (
    id INTEGER PRIMARY KEY,
    tbl TEXT NOT NULL,
    key TEXT NOT NULL,                   -- primary key as a JSON array
    before TEXT,                         -- JSON object, null for a new row
    after TEXT                           -- JSON object, null for a row taken back
) STRICT;

-- one row a finished command: which journal rows are its own, who, and a digest over them and the seal before
CREATE TABLE journal_seal (
    id INTEGER PRIMARY KEY,
    first INTEGER NOT NULL UNIQUE,
    last INTEGER NOT NULL UNIQUE,
    sealed TEXT NOT NULL,                -- instant with offset
    by TEXT NOT NULL,
    command TEXT NOT NULL,
    why TEXT NOT NULL DEFAULT '',
    touched TEXT NOT NULL DEFAULT '[]',  -- code ids the command was about, JSON
    undoes INTEGER UNIQUE REFERENCES journal_seal(id),
    digest TEXT NOT NULL,
    CHECK (last >= first)
) STRICT;

-- at most one row, within one transaction: the seal whose changes are being taken back
CREATE TABLE undoing (
    seal INTEGER PRIMARY KEY
) STRICT;

CREATE TRIGGER undoing_newest BEFORE INSERT ON undoing
WHEN NEW.seal IS NOT (SELECT max(id) FROM journal_seal s WHERE undoes IS NULL
     AND NOT EXISTS (SELECT 1 FROM journal_seal u WHERE u.undoes = s.id))
  OR EXISTS (SELECT 1 FROM undoing)
BEGIN SELECT RAISE(ABORT, 'undo: only the newest command can be taken back'); END;

CREATE TRIGGER undoing_fixed BEFORE UPDATE ON undoing
BEGIN SELECT RAISE(ABORT, 'undo: only the newest command can be taken back'); END;
