-- one row a person or body
CREATE TABLE party (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE COLLATE NOCASE CHECK (length(name) > 0),
    kind TEXT NOT NULL CHECK (kind IN ('artist', 'printer', 'collector', 'gallery', 'institution', 'other')),
    place TEXT NOT NULL DEFAULT '',            -- town and country, for provenance
    born TEXT NOT NULL DEFAULT '',
    died TEXT NOT NULL DEFAULT '',
    died_latest TEXT NOT NULL DEFAULT '',
    nameable INTEGER NOT NULL DEFAULT 0 CHECK (nameable IN (0, 1)),   -- may be named in public
    note TEXT NOT NULL DEFAULT ''
) STRICT;

CREATE TRIGGER party_death_stays BEFORE UPDATE OF died, died_latest ON party
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.died_latest <> '' AND OLD.died_latest <> NEW.died_latest
BEGIN SELECT RAISE(ABORT, 'party: a recorded death stays'); END;

-- one row a way to reach a party; the journal holds only the digest, so that it can be forgotten
CREATE TABLE party_contact (
    id INTEGER PRIMARY KEY,
    party INTEGER NOT NULL REFERENCES party(id),
    kind TEXT NOT NULL CHECK (kind IN ('address', 'mail', 'telephone')),
    value TEXT NOT NULL,
    salt TEXT NOT NULL,
    digest TEXT NOT NULL
) STRICT;
CREATE INDEX party_contact_party ON party_contact(party);

-- one row a change of title or of custody, in order for its item
CREATE TABLE transfer (
    id INTEGER PRIMARY KEY,
    item INTEGER NOT NULL REFERENCES item(id),
    sequence INTEGER NOT NULL CHECK (sequence > 0),
    kind TEXT NOT NULL CHECK (kind IN ('sale', 'payment', 'gift', 'bequest', 'exchange', 'consignment', 'approval',
        'loan', 'exhibition', 'return', 'loss', 'theft', 'finding', 'destruction', 'kept')),
    from_party INTEGER REFERENCES party(id),
    to_party INTEGER REFERENCES party(id),
    title INTEGER NOT NULL CHECK (title IN (0, 1)),
    custody INTEGER NOT NULL CHECK (custody IN (0, 1)),
    happened TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    clock TEXT NOT NULL DEFAULT '',
    price INTEGER CHECK (price >= 0),           -- minor units
    currency TEXT NOT NULL DEFAULT '',
    commission INTEGER CHECK (commission BETWEEN 0 AND 10000),   -- hundredths of a per cent
    until TEXT NOT NULL DEFAULT '',
    until_latest TEXT NOT NULL DEFAULT '',
    settles INTEGER REFERENCES transfer(id),    -- the sale a payment pays, the consignment or loan a return ends
    their_number TEXT NOT NULL DEFAULT '',
    note TEXT NOT NULL DEFAULT '',
    by TEXT NOT NULL,
    CHECK ((price IS NULL) = (currency = ''))
) STRICT;
CREATE UNIQUE INDEX transfer_sequence ON transfer(item, sequence);
CREATE UNIQUE INDEX transfer_settles ON transfer(settles) WHERE settles IS NOT NULL;
CREATE INDEX transfer_to ON transfer(to_party);

CREATE TRIGGER transfer_order BEFORE INSERT ON transfer
WHEN NEW.sequence <> 1 + coalesce((SELECT max(sequence) FROM transfer WHERE item = NEW.item), 0)
BEGIN SELECT RAISE(ABORT, 'transfer: the order of an item''s transfers has no gap and no second'); END;

CREATE TRIGGER transfer_of_what_exists BEFORE INSERT ON transfer
WHEN (EXISTS (SELECT 1 FROM transfer WHERE item = NEW.item AND kind = 'destruction')
      AND NOT (NEW.kind = 'payment' AND NEW.title = 0))
  OR (NEW.kind NOT IN ('finding', 'destruction', 'payment') AND EXISTS (SELECT 1 FROM print WHERE id = NEW.item AND state = 'lost'))
BEGIN SELECT RAISE(ABORT, 'transfer: what is destroyed or lost cannot be sold, lent or moved'); END;

CREATE TRIGGER transfer_by_owner BEFORE INSERT ON transfer
WHEN NEW.kind IN ('sale', 'gift', 'bequest', 'exchange')
 AND ((SELECT owner FROM standing WHERE item = NEW.item) IS NOT NEW.from_party
   OR EXISTS (SELECT 1 FROM transfer s WHERE s.item = NEW.item AND s.kind = 'sale' AND s.title = 0
              AND NOT EXISTS (SELECT 1 FROM transfer p WHERE p.settles = s.id)))
BEGIN SELECT RAISE(ABORT, 'transfer: only its owner can sell or give a thing, and once'); END;

CREATE TRIGGER transfer_by_custodian BEFORE INSERT ON transfer
WHEN NEW.kind IN ('consignment', 'approval', 'loan', 'exhibition', 'return')
 AND (SELECT custodian FROM standing WHERE item = NEW.item) IS NOT NEW.from_party
BEGIN SELECT RAISE(ABORT, 'transfer: only who has a thing can hand it on'); END;

CREATE TRIGGER transfer_consigned_once BEFORE INSERT ON transfer
WHEN NEW.kind IN ('consignment', 'approval', 'loan', 'exhibition') AND NEW.from_party IS (SELECT artist FROM catalog)
 AND (SELECT owner FROM standing WHERE item = NEW.item) IS NOT (SELECT artist FROM catalog)
BEGIN SELECT RAISE(ABORT, 'transfer: the studio consigns and lends only what it owns and has'); END;

CREATE TRIGGER transfer_standing AFTER INSERT ON transfer
BEGIN
    UPDATE standing SET owner = NEW.to_party, title_transfer = NEW.id WHERE item = NEW.item AND NEW.title = 1;
    UPDATE standing SET custodian = NEW.to_party, custody_transfer = NEW.id, place = NULL
        WHERE item = NEW.item AND NEW.custody = 1;
    UPDATE print SET state = CASE NEW.kind WHEN 'destruction' THEN 'destroyed' WHEN 'finding' THEN 'living' ELSE 'lost' END
        WHERE id = NEW.item AND NEW.kind IN ('destruction', 'loss', 'theft', 'finding');
END;
