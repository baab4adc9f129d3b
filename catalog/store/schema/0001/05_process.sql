-- one row a mixed volume of chemistry with a life
CREATE TABLE bath (
    id INTEGER PRIMARY KEY REFERENCES code(id),
    kind TEXT NOT NULL CHECK (kind IN ('collodion', 'silver bath', 'developer', 'stop', 'fixer', 'iodine',
        'redeveloper', 'wash aid', 'toner', 'wetting agent', 'varnish')),
    name TEXT NOT NULL CHECK (length(name) > 0),
    dilution TEXT NOT NULL DEFAULT '',
    volume INTEGER CHECK (volume > 0),          -- millilitres
    mixed TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    in_tray INTEGER NOT NULL DEFAULT 1 CHECK (in_tray IN (0, 1)),
    discarded TEXT NOT NULL DEFAULT '',
    note TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX bath_tray ON bath(kind) WHERE in_tray = 1;

-- one row a vessel that washes
CREATE TABLE washer (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE COLLATE NOCASE CHECK (length(name) > 0),
    kind TEXT NOT NULL CHECK (kind IN ('tray', 'siphon', 'slots')),
    volume INTEGER CHECK (volume > 0),          -- millilitres
    flow INTEGER CHECK (flow > 0),              -- millilitres a minute, usual
    note TEXT NOT NULL DEFAULT ''
) STRICT;

-- one row a recorded stage that one or many items went through together
CREATE TABLE step (
    id INTEGER PRIMARY KEY REFERENCES code(id),
    kind TEXT NOT NULL CHECK (kind IN ('clean glass', 'albumen sub', 'collodion', 'sensitize', 'expose', 'develop',
        'stop', 'fix', 'rinse', 'iodine', 'redevelop', 'wash aid', 'tone', 'wash', 'wetting agent', 'dry',
        'flatten', 'varnish', 'cure', 'spot')),
    bath INTEGER REFERENCES bath(id),
    washer INTEGER REFERENCES washer(id),
    happened TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    clock TEXT NOT NULL DEFAULT '',
    seconds INTEGER CHECK (seconds > 0),
    celsius INTEGER,                            -- thousandths of a degree
    sheets INTEGER NOT NULL DEFAULT 0 CHECK (sheets >= 0),   -- sheets without a code that went along
    detail TEXT NOT NULL DEFAULT '{}',          -- what only this kind has, as JSON
    note TEXT NOT NULL DEFAULT '',
    by TEXT NOT NULL
) STRICT;

-- one row an item in a step, with the instants it joined and left where they are known
CREATE TABLE step_item (
    step INTEGER NOT NULL REFERENCES step(id),
    item INTEGER NOT NULL REFERENCES item(id),
    joined TEXT NOT NULL DEFAULT '',
    left_at TEXT NOT NULL DEFAULT '',
    PRIMARY KEY (step, item)
) STRICT, WITHOUT ROWID;
CREATE INDEX step_item_item ON step_item(item, step);
CREATE INDEX step_item_open ON step_item(item) WHERE joined <> '' AND left_at = '';

CREATE TRIGGER step_item_left_once BEFORE UPDATE OF left_at, joined ON step_item
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND (OLD.left_at <> '' OR OLD.joined IS NOT NEW.joined)
BEGIN SELECT RAISE(ABORT, 'step: an item leaves a load once'); END;

CREATE TRIGGER step_item_gone BEFORE INSERT ON step_item
WHEN EXISTS (SELECT 1 FROM print JOIN transfer ON transfer.item = print.id AND transfer.kind = 'destruction'
             JOIN step ON step.id = NEW.step
             WHERE print.id = NEW.item AND print.state = 'destroyed' AND step.earliest > transfer.latest)
BEGIN SELECT RAISE(ABORT, 'step: a destroyed print goes through nothing more'); END;

-- one row an unexposed strip that goes through the steps in a print's stead and is tested
CREATE TABLE control_strip (
    id INTEGER PRIMARY KEY REFERENCES item(id),
    paper INTEGER REFERENCES paper(id),
    made TEXT NOT NULL,
    note TEXT NOT NULL DEFAULT ''
) STRICT;

-- one row a reading for thiosulfate (hypo) or silver left in a sheet
CREATE TABLE residual_test (
    id INTEGER PRIMARY KEY,
    item INTEGER NOT NULL REFERENCES item(id),
    question TEXT NOT NULL CHECK (question IN ('hypo', 'silver')),
    method TEXT NOT NULL,
    reading TEXT NOT NULL DEFAULT '' CHECK (reading IN ('', 'none', 'just visible', 'beige', 'yellow-brown')),
    value INTEGER CHECK (value >= 0),           -- nanograms a square centimetre
    happened TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    clock TEXT NOT NULL DEFAULT '',
    by TEXT NOT NULL,
    note TEXT NOT NULL DEFAULT '',
    CHECK ((reading = '') <> (value IS NULL))
) STRICT;
CREATE INDEX residual_test_item ON residual_test(item);
