-- one row a place in the tree: building / room / rack / shelf / box / slot
CREATE TABLE place (
    id INTEGER PRIMARY KEY,
    parent INTEGER REFERENCES place(id),
    name TEXT NOT NULL CHECK (length(name) > 0 AND instr(name, '/') = 0),
    kind TEXT NOT NULL DEFAULT '' CHECK (kind IN
        ('', 'building', 'room', 'rack', 'cabinet', 'shelf', 'drawer', 'box', 'slot')),
    note TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE UNIQUE INDEX place_name ON place(parent, name COLLATE NOCASE) WHERE parent IS NOT NULL;
CREATE UNIQUE INDEX place_top ON place(name COLLATE NOCASE) WHERE parent IS NULL;

CREATE TRIGGER place_within_itself BEFORE UPDATE OF parent ON place
WHEN NEW.parent IS NOT NULL AND EXISTS (
    WITH RECURSIVE above(id) AS (SELECT NEW.parent UNION SELECT parent FROM place JOIN above USING (id) WHERE parent IS NOT NULL)
    SELECT 1 FROM above WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'place: it cannot stand inside itself'); END;

-- one row a move within the studio's custody
CREATE TABLE movement (
    id INTEGER PRIMARY KEY,
    item INTEGER NOT NULL REFERENCES item(id),
    from_place INTEGER REFERENCES place(id),
    to_place INTEGER NOT NULL REFERENCES place(id),
    happened TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    clock TEXT NOT NULL DEFAULT '',
    why TEXT NOT NULL DEFAULT '',
    by TEXT NOT NULL
) STRICT;
CREATE INDEX movement_item ON movement(item);

-- one row an item: where it is, who has it, who owns it; kept by triggers, proved by check
CREATE TABLE standing (
    item INTEGER PRIMARY KEY REFERENCES item(id),
    place INTEGER REFERENCES place(id),
    custodian INTEGER REFERENCES party(id),
    owner INTEGER REFERENCES party(id),
    movement INTEGER REFERENCES movement(id),
    custody_transfer INTEGER REFERENCES transfer(id),
    title_transfer INTEGER REFERENCES transfer(id)
) STRICT;
CREATE INDEX standing_place ON standing(place);
CREATE INDEX standing_custodian ON standing(custodian);
CREATE INDEX standing_owner ON standing(owner);

CREATE TRIGGER item_standing AFTER INSERT ON item
BEGIN INSERT INTO standing (item, custodian, owner) SELECT NEW.id, artist, artist FROM catalog; END;

CREATE TRIGGER standing_follows BEFORE UPDATE ON standing
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND (
    (NEW.place IS NOT NULL AND NEW.place IS NOT (SELECT to_place FROM movement WHERE item = NEW.item ORDER BY id DESC LIMIT 1))
    OR (NEW.owner IS NOT OLD.owner AND NEW.owner IS NOT (SELECT to_party FROM transfer WHERE item = NEW.item AND title = 1 ORDER BY sequence DESC LIMIT 1))
    OR (NEW.custodian IS NOT OLD.custodian AND NEW.custodian IS NOT (SELECT to_party FROM transfer WHERE item = NEW.item AND custody = 1 ORDER BY sequence DESC LIMIT 1)))
BEGIN SELECT RAISE(ABORT, 'standing: it follows movements and transfers, and is not written by hand'); END;

CREATE TRIGGER movement_possible BEFORE INSERT ON movement
WHEN EXISTS (SELECT 1 FROM print WHERE id = NEW.item AND state <> 'living')
  OR EXISTS (SELECT 1 FROM negative WHERE id = NEW.item AND state = 'destroyed')
  OR (SELECT custodian FROM standing WHERE item = NEW.item) IS NOT (SELECT artist FROM catalog)
BEGIN SELECT RAISE(ABORT, 'movement: only what exists and is in the studio''s custody can be moved'); END;

CREATE TRIGGER movement_standing AFTER INSERT ON movement
BEGIN UPDATE standing SET place = NEW.to_place, movement = NEW.id WHERE item = NEW.item; END;

-- one row a picture of an item, a file below pictures/
CREATE TABLE picture (
    id INTEGER PRIMARY KEY,
    item INTEGER NOT NULL REFERENCES item(id),
    path TEXT NOT NULL UNIQUE,
    sha256 TEXT NOT NULL,
    width INTEGER NOT NULL CHECK (width > 0),
    height INTEGER NOT NULL CHECK (height > 0),
    caption TEXT NOT NULL DEFAULT '',
    added TEXT NOT NULL
) STRICT;
CREATE INDEX picture_item ON picture(item);
