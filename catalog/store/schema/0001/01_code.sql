-- one row: this catalog; whose work it holds
CREATE TABLE catalog (
    id INTEGER PRIMARY KEY CHECK (id = 1),
    artist INTEGER NOT NULL REFERENCES party(id),
    begun TEXT NOT NULL
) STRICT;

-- one row a setting that changes what records mean; how things look is in settings.toml
CREATE TABLE setting (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE,
    value TEXT NOT NULL,
    basis TEXT NOT NULL,
    since TEXT NOT NULL
) STRICT;

-- one row a code of any kind, ever given; its id is the identity of the thing, its order the order of things
CREATE TABLE code (
    id INTEGER PRIMARY KEY,
    code TEXT NOT NULL UNIQUE COLLATE NOCASE CHECK (length(code) BETWEEN 1 AND 24),
    kind TEXT NOT NULL CHECK (kind IN
        ('negative', 'edition', 'print', 'control strip', 'bath', 'step', 'certificate')),
    serial INTEGER CHECK (serial > 0)      -- null for a code of the user's own
) STRICT;
CREATE UNIQUE INDEX code_serial ON code(kind, serial) WHERE serial IS NOT NULL;

-- one row an object that can be processed, moved and transferred
CREATE TABLE item (
    id INTEGER PRIMARY KEY REFERENCES code(id),
    kind TEXT NOT NULL CHECK (kind IN ('negative', 'print', 'control strip'))
) STRICT;

CREATE TRIGGER item_kind BEFORE INSERT ON item
WHEN NOT EXISTS (SELECT 1 FROM code WHERE id = NEW.id AND kind = NEW.kind)
BEGIN SELECT RAISE(ABORT, 'item: the code of an item says what kind it is'); END;

-- one row a correction of one field, with its reason; what stood there before stays readable
CREATE TABLE correction (
    id INTEGER PRIMARY KEY,
    subject INTEGER NOT NULL REFERENCES code(id),
    field TEXT NOT NULL,
    before TEXT,
    after TEXT,
    why TEXT NOT NULL CHECK (length(why) > 0),
    by TEXT NOT NULL,
    happened TEXT NOT NULL
) STRICT;
CREATE INDEX correction_subject ON correction(subject);
