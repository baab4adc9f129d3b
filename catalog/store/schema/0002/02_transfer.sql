-- A transfer told later goes between two others: `inserted` is its rank there; the end of the chain has none.
ALTER TABLE transfer ADD COLUMN inserted INTEGER CHECK (inserted > 0);
ALTER TABLE transfer ADD COLUMN rank INTEGER GENERATED ALWAYS AS (coalesce(inserted, sequence * 1048576)) VIRTUAL;
ALTER TABLE transfer ADD COLUMN insured INTEGER CHECK (insured >= 0);          -- minor units
ALTER TABLE transfer ADD COLUMN insured_currency TEXT NOT NULL DEFAULT '';
ALTER TABLE transfer ADD COLUMN condition TEXT NOT NULL DEFAULT '';            -- at delivery
ALTER TABLE transfer ADD COLUMN agent INTEGER REFERENCES party(id);            -- who acted for the one who received
ALTER TABLE transfer ADD COLUMN place TEXT NOT NULL DEFAULT '';                -- where it happened
ALTER TABLE transfer ADD COLUMN occasion TEXT NOT NULL DEFAULT '';             -- the exhibition, the auction and its lot
ALTER TABLE transfer ADD COLUMN remark TEXT NOT NULL DEFAULT '';               -- a note that may be printed
ALTER TABLE transfer ADD COLUMN uncertain INTEGER NOT NULL DEFAULT 0 CHECK (uncertain IN (0, 1));   -- whether at all
ALTER TABLE transfer ADD COLUMN uncertain_party INTEGER NOT NULL DEFAULT 0 CHECK (uncertain_party IN (0, 1));
CREATE INDEX transfer_rank ON transfer(item, rank);

DROP TRIGGER transfer_order;
CREATE TRIGGER transfer_order BEFORE INSERT ON transfer
WHEN NEW.sequence <> 1 + coalesce((SELECT max(sequence) FROM transfer WHERE item = NEW.item), 0)
  OR NEW.inserted >= coalesce((SELECT max(rank) FROM transfer WHERE item = NEW.item), 0)
  OR EXISTS (SELECT 1 FROM transfer WHERE item = NEW.item AND rank = NEW.inserted)
BEGIN SELECT RAISE(ABORT, 'transfer: the order of an item''s transfers has no gap and no second'); END;

-- What is told later changes nothing of how a thing stands today.
CREATE TRIGGER transfer_told_later BEFORE INSERT ON transfer
WHEN NEW.inserted IS NOT NULL AND (NEW.kind = 'destruction'
  OR (NEW.title = 1 AND NOT EXISTS (SELECT 1 FROM transfer WHERE item = NEW.item AND title = 1 AND rank > NEW.inserted))
  OR (NEW.custody = 1
      AND NOT EXISTS (SELECT 1 FROM transfer WHERE item = NEW.item AND custody = 1 AND rank > NEW.inserted))
  OR (NEW.kind IN ('loss', 'theft', 'finding') AND NOT EXISTS (SELECT 1 FROM transfer WHERE item = NEW.item
      AND kind IN ('loss', 'theft', 'finding', 'destruction') AND rank > NEW.inserted)
      AND NEW.kind || coalesce((SELECT kind FROM transfer WHERE item = NEW.item
          AND kind IN ('loss', 'theft', 'finding', 'destruction') ORDER BY rank DESC LIMIT 1), 'finding')
          <> 'findingfinding'))
BEGIN SELECT RAISE(ABORT, 'transfer: what is told later does not change who has or owns a thing now'); END;

DROP TRIGGER transfer_of_what_exists;
CREATE TRIGGER transfer_of_what_exists BEFORE INSERT ON transfer
WHEN NEW.inserted IS NULL AND (
     (EXISTS (SELECT 1 FROM transfer WHERE item = NEW.item AND kind = 'destruction')
      AND NOT (NEW.kind = 'payment' AND NEW.title = 0))
  OR (NEW.kind NOT IN ('finding', 'destruction', 'payment')
      AND 'finding' IS NOT coalesce((SELECT kind FROM transfer WHERE item = NEW.item
          AND kind IN ('loss', 'theft', 'finding') ORDER BY rank DESC LIMIT 1), 'finding')))
BEGIN SELECT RAISE(ABORT, 'transfer: what is destroyed or lost cannot be sold, lent or moved'); END;

-- Who sold is not always known once a thing has left the artist: the giver is then none, and the gap is told.
DROP TRIGGER transfer_by_owner;
CREATE TRIGGER transfer_by_owner BEFORE INSERT ON transfer
WHEN NEW.inserted IS NULL AND NEW.kind IN ('sale', 'gift', 'bequest', 'exchange')
 AND (((SELECT owner FROM standing WHERE item = NEW.item) IS NOT NEW.from_party
       AND (NEW.from_party IS NOT NULL OR (SELECT owner FROM standing WHERE item = NEW.item) IS NULL
            OR (SELECT owner FROM standing WHERE item = NEW.item) IS (SELECT artist FROM catalog)))
   OR EXISTS (SELECT 1 FROM transfer s WHERE s.item = NEW.item AND s.kind = 'sale' AND s.title = 0
              AND NOT EXISTS (SELECT 1 FROM transfer p WHERE p.settles = s.id)))
BEGIN SELECT RAISE(ABORT, 'transfer: only its owner can sell or give a thing, and once'); END;

DROP TRIGGER transfer_by_custodian;
CREATE TRIGGER transfer_by_custodian BEFORE INSERT ON transfer
WHEN NEW.inserted IS NULL AND NEW.kind IN ('consignment', 'approval', 'loan', 'exhibition', 'return', 'loss', 'theft')
 AND (SELECT custodian FROM standing WHERE item = NEW.item) IS NOT NEW.from_party
BEGIN SELECT RAISE(ABORT, 'transfer: only who has a thing can hand it on'); END;

DROP TRIGGER transfer_consigned_once;
CREATE TRIGGER transfer_consigned_once BEFORE INSERT ON transfer
WHEN NEW.inserted IS NULL AND NEW.kind IN ('consignment', 'approval', 'loan', 'exhibition')
 AND NEW.from_party IS (SELECT artist FROM catalog)
 AND (SELECT owner FROM standing WHERE item = NEW.item) IS NOT (SELECT artist FROM catalog)
BEGIN SELECT RAISE(ABORT, 'transfer: the studio consigns and lends only what it owns and has'); END;

-- Title and custody are two things, and each kind of change of hands moves its own, between those it has. Who borrows,
-- loses, steals, finds or brings back a thing does not own it for that; a sale or gift names who receives.
CREATE TRIGGER transfer_moves BEFORE INSERT ON transfer
WHEN NOT CASE
    WHEN NEW.kind = 'sale' THEN NEW.custody = 1 AND NEW.to_party IS NOT NULL
    WHEN NEW.kind IN ('gift', 'bequest', 'exchange') THEN NEW.title = 1 AND NEW.custody = 1 AND NEW.to_party IS NOT NULL
    WHEN NEW.kind = 'payment' THEN NEW.custody = 0 AND NEW.to_party IS NOT NULL AND NEW.settles IS NOT NULL
    WHEN NEW.kind = 'return' AND NEW.title = 1  -- a sale that fell through brings its title back
      THEN NEW.custody = 1 AND NEW.from_party IS NOT NULL AND NEW.to_party IS NOT NULL AND NEW.settles IS NOT NULL
    WHEN NEW.kind IN ('consignment', 'approval', 'loan', 'exhibition', 'return')
      THEN NEW.title = 0 AND NEW.custody = 1 AND NEW.from_party IS NOT NULL AND NEW.to_party IS NOT NULL
    WHEN NEW.kind IN ('loss', 'theft') THEN NEW.title = 0 AND NEW.custody = 1 AND NEW.from_party IS NOT NULL
      AND NEW.to_party IS NULL
    WHEN NEW.kind = 'finding' THEN NEW.title = 0 AND NEW.custody = 1 AND NEW.from_party IS NULL
      AND NEW.to_party IS NOT NULL
    WHEN NEW.kind = 'destruction' THEN NEW.title = 1 AND NEW.custody = 1 AND NEW.to_party IS NULL
    ELSE NEW.title = NEW.custody AND NEW.to_party IS NOT NULL END
  OR (NEW.settles IS NOT NULL AND NEW.kind NOT IN ('payment', 'return'))
BEGIN SELECT RAISE(ABORT, 'transfer: such a change of hands moves title and custody otherwise'); END;

-- A payment settles one sale of the studio's, of the same thing and between the same two; it moves the title that the
-- sale did not. A return settles what it ends: a handing out, or a sale that was not paid; where title passed with that
-- sale, it comes back from the buyer, whose the thing still is.
CREATE TRIGGER transfer_settled BEFORE INSERT ON transfer
WHEN NEW.settles IS NOT NULL AND NOT EXISTS (SELECT 1 FROM transfer s WHERE s.id = NEW.settles AND s.item = NEW.item
     AND CASE NEW.kind WHEN 'payment' THEN s.kind = 'sale' AND s.from_party IS (SELECT artist FROM catalog)
              AND s.from_party IS NEW.from_party AND s.to_party IS NEW.to_party AND NEW.title + s.title <= 1
              AND (NEW.title + s.title = 1 OR (SELECT owner FROM standing WHERE item = NEW.item) IS NULL)
         ELSE (NEW.title = 0 AND s.kind IN ('consignment', 'approval', 'loan', 'exhibition'))
              OR (s.kind = 'sale' AND s.title = NEW.title AND (NEW.title = 0 OR (s.from_party IS NEW.to_party
                  AND s.to_party IS NEW.from_party AND s.from_party IS (SELECT artist FROM catalog)
                  AND NOT EXISTS (SELECT 1 FROM transfer t WHERE t.item = NEW.item AND t.title = 1 AND t.rank > s.rank
                      AND (NEW.inserted IS NULL OR t.rank < NEW.inserted))))) END)
BEGIN SELECT RAISE(ABORT, 'transfer: it settles something else of the same thing'); END;

-- What is sold out of the artist's hands passes its title at once; what a gallery has, once it is paid.
CREATE TRIGGER transfer_sold BEFORE INSERT ON transfer
WHEN NEW.kind = 'sale' AND NEW.title IS NOT (NEW.from_party IS NOT (SELECT artist FROM catalog) OR NEW.from_party IS
    coalesce((SELECT coalesce(to_party, 0) FROM transfer WHERE item = NEW.item AND custody = 1
              AND (NEW.inserted IS NULL OR rank < NEW.inserted) ORDER BY rank DESC LIMIT 1), NEW.from_party))
BEGIN SELECT RAISE(ABORT, 'transfer: title passes at once from the studio, and when it is paid from a consignment'); END;

CREATE TRIGGER transfer_found BEFORE INSERT ON transfer
WHEN NEW.kind = 'finding' AND NEW.inserted IS NULL AND coalesce((SELECT kind FROM transfer WHERE item = NEW.item
     AND kind IN ('loss', 'theft', 'finding') ORDER BY rank DESC LIMIT 1), 'finding') = 'finding'
BEGIN SELECT RAISE(ABORT, 'transfer: only what is lost is found'); END;

-- Of two clocks the instants decide, which the program compares.
CREATE TRIGGER transfer_dated BEFORE INSERT ON transfer
WHEN EXISTS (SELECT 1 FROM transfer t WHERE t.item = NEW.item AND NOT (t.clock <> '' AND NEW.clock <> '') AND (
     (NEW.latest <> '' AND t.earliest > NEW.latest AND (NEW.inserted IS NULL OR t.rank < NEW.inserted))
     OR (t.latest <> '' AND NEW.earliest > t.latest AND t.rank > NEW.inserted)))
BEGIN SELECT RAISE(ABORT, 'transfer: its date contradicts the order of an item''s transfers'); END;

-- Who kept a thing is its owner; or somebody it came to from a hand not known, once it has left the artist.
CREATE TRIGGER transfer_kept BEFORE INSERT ON transfer
WHEN NEW.inserted IS NULL AND NEW.kind = 'kept' AND CASE NEW.title
    WHEN 0 THEN NEW.custody = 1 OR (SELECT owner FROM standing WHERE item = NEW.item) IS NOT NEW.to_party
    ELSE NEW.from_party IS NOT NULL OR NEW.to_party IS NULL OR (SELECT owner FROM standing WHERE item = NEW.item) IS NULL
      OR (SELECT owner FROM standing WHERE item = NEW.item) IS (SELECT artist FROM catalog) END
BEGIN SELECT RAISE(ABORT, 'transfer: only its owner keeps a thing'); END;

-- What is said of a change of hands, and its date, are set right in the same command by a correction of its thing that
-- names the field and the kind (as records/transfers/record.py names the kinds); nothing else changes with it. What
-- makes it the change that it is stays: of what kind, between whom, of title or custody, and its place in the order.
CREATE TRIGGER transfer_by_correction BEFORE UPDATE ON transfer
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND (NOT EXISTS (SELECT 1 FROM correction c
     WHERE c.subject = OLD.item AND c.id = (SELECT max(id) FROM correction)
     AND (c.field LIKE '%_ of the ' || CASE OLD.kind WHEN 'approval' THEN 'sending on approval'
         WHEN 'exhibition' THEN 'loan for an exhibition' WHEN 'kept' THEN 'keeping' ELSE OLD.kind END)
     AND (c.field LIKE 'price of%' OR (OLD.price IS NEW.price AND OLD.currency IS NEW.currency))
     AND (c.field LIKE 'commission of%' OR OLD.commission IS NEW.commission)
     AND (c.field LIKE 'until of%' OR (OLD.until IS NEW.until AND OLD.until_latest IS NEW.until_latest))
     AND (c.field LIKE 'insured of%' OR (OLD.insured IS NEW.insured AND OLD.insured_currency IS NEW.insured_currency))
     AND (c.field LIKE 'condition of%' OR OLD.condition IS NEW.condition)
     AND (c.field LIKE 'date of%' OR (OLD.happened IS NEW.happened AND OLD.earliest IS NEW.earliest
          AND OLD.latest IS NEW.latest AND OLD.clock IS NEW.clock))
     AND (c.field LIKE 'their-number of%' OR OLD.their_number IS NEW.their_number)
     AND (c.field LIKE 'in of%' OR c.field LIKE 'place of%' OR OLD.place IS NEW.place)
     AND (c.field LIKE 'occasion of%' OR OLD.occasion IS NEW.occasion)
     AND (c.field LIKE 'remark of%' OR OLD.remark IS NEW.remark)
     AND (c.field LIKE 'note of%' OR OLD.note IS NEW.note)
     AND EXISTS (SELECT 1 FROM journal j WHERE j.id > coalesce((SELECT max(last) FROM journal_seal), 0)
         AND j.tbl = 'correction' AND j.key = json_array(c.id)))
  OR OLD.item IS NOT NEW.item OR OLD.sequence IS NOT NEW.sequence OR OLD.kind IS NOT NEW.kind
  OR OLD.from_party IS NOT NEW.from_party OR OLD.to_party IS NOT NEW.to_party OR OLD.title IS NOT NEW.title
  OR OLD.custody IS NOT NEW.custody OR OLD.settles IS NOT NEW.settles OR OLD.by IS NOT NEW.by
  OR OLD.inserted IS NOT NEW.inserted OR OLD.agent IS NOT NEW.agent OR OLD.uncertain IS NOT NEW.uncertain
  OR OLD.uncertain_party IS NOT NEW.uncertain_party)
BEGIN SELECT RAISE(ABORT, 'transfer: what is said of it changes by a recorded correction only, and the rest never'); END;

CREATE TRIGGER transfer_dated_again BEFORE UPDATE OF happened, earliest, latest, clock ON transfer
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND EXISTS (SELECT 1 FROM transfer t WHERE t.item = OLD.item AND t.id <> OLD.id
     AND NOT (t.clock <> '' AND NEW.clock <> '') AND (
     (NEW.latest <> '' AND t.earliest > NEW.latest AND t.rank < OLD.rank)
     OR (t.latest <> '' AND NEW.earliest > t.latest AND t.rank > OLD.rank)))
BEGIN SELECT RAISE(ABORT, 'transfer: its date contradicts the order of an item''s transfers'); END;

-- A thing changes hands from the day it was made, and leaves the studio or ends from the day it was signed. Of two
-- clocks the instants decide, which the program compares.
CREATE TRIGGER transfer_after_making BEFORE INSERT ON transfer
WHEN NEW.latest <> '' AND EXISTS (SELECT 1 FROM (SELECT id, earliest, clock, signed_earliest FROM print
         UNION ALL SELECT id, earliest, '', '' FROM negative) m WHERE m.id = NEW.item
     AND ((m.earliest > NEW.latest AND NOT (m.clock <> '' AND NEW.clock <> ''))
       OR (m.signed_earliest > NEW.latest
           AND NEW.kind IN ('sale', 'gift', 'bequest', 'exchange', 'consignment', 'approval', 'destruction'))))
BEGIN SELECT RAISE(ABORT, 'transfer: nothing changes hands before it was made, nor leaves before it was signed'); END;

CREATE TRIGGER transfer_after_making_again BEFORE UPDATE OF happened, earliest, latest, clock ON transfer
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND NEW.latest <> '' AND EXISTS (SELECT 1 FROM
         (SELECT id, earliest, clock, signed_earliest FROM print
          UNION ALL SELECT id, earliest, '', '' FROM negative) m WHERE m.id = NEW.item
     AND ((m.earliest > NEW.latest AND NOT (m.clock <> '' AND NEW.clock <> ''))
       OR (m.signed_earliest > NEW.latest
           AND NEW.kind IN ('sale', 'gift', 'bequest', 'exchange', 'consignment', 'approval', 'destruction'))))
BEGIN SELECT RAISE(ABORT, 'transfer: nothing changes hands before it was made, nor leaves before it was signed'); END;

-- A number passes from the day its print was destroyed; “2019~” is after every day of a signature dated “2019”.
CREATE TRIGGER transfer_destroyed_again BEFORE UPDATE OF happened, earliest, latest, clock ON transfer
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.kind = 'destruction' AND EXISTS (SELECT 1 FROM print
     WHERE replaces = OLD.item AND signed <> '' AND signed NOT GLOB '*[^0-9-]*' AND NEW.earliest > signed || '~')
BEGIN SELECT RAISE(ABORT, 'transfer: a print is destroyed before another one bears its number'); END;

-- A will gives from the death on.
CREATE TRIGGER transfer_bequest_again BEFORE UPDATE OF happened, earliest, latest, clock ON transfer
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.kind = 'bequest' AND NEW.latest <> '' AND EXISTS (SELECT 1 FROM party
     WHERE id = OLD.from_party AND died <> '' AND died NOT GLOB '*[^0-9-]*' AND died > NEW.latest)
BEGIN SELECT RAISE(ABORT, 'transfer: a bequest follows a death'); END;

CREATE TRIGGER transfer_to_another BEFORE INSERT ON transfer
WHEN NEW.kind IN ('sale', 'gift', 'bequest', 'exchange') AND NEW.from_party = NEW.to_party
BEGIN SELECT RAISE(ABORT, 'transfer: nobody sells or gives a thing to themselves'); END;

CREATE TRIGGER transfer_insured_again BEFORE UPDATE OF insured, insured_currency ON transfer
WHEN (NEW.insured IS NULL) <> (NEW.insured_currency = '')
BEGIN SELECT RAISE(ABORT, 'transfer: an insured value has a currency'); END;

CREATE TRIGGER transfer_insured BEFORE INSERT ON transfer
WHEN (NEW.insured IS NULL) <> (NEW.insured_currency = '')
BEGIN SELECT RAISE(ABORT, 'transfer: an insured value has a currency'); END;

DROP TRIGGER transfer_standing;
CREATE TRIGGER transfer_standing AFTER INSERT ON transfer WHEN NEW.inserted IS NULL
BEGIN
    UPDATE standing SET owner = NEW.to_party, title_transfer = NEW.id WHERE item = NEW.item AND NEW.title = 1;
    -- What came back before it was last put somewhere is still there.
    UPDATE standing SET custodian = NEW.to_party, custody_transfer = NEW.id, place =
        (SELECT to_place FROM movement m WHERE m.id = standing.movement AND NEW.latest <> '' AND m.earliest > NEW.latest
         AND NEW.to_party IS (SELECT artist FROM catalog))
        WHERE item = NEW.item AND NEW.custody = 1;
    UPDATE print SET state = CASE NEW.kind WHEN 'destruction' THEN 'destroyed' WHEN 'finding' THEN 'living' ELSE 'lost' END
        WHERE id = NEW.item AND NEW.kind IN ('destruction', 'loss', 'theft', 'finding');
END;

DROP TRIGGER standing_follows;
CREATE TRIGGER standing_follows BEFORE UPDATE ON standing
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND (
    (NEW.place IS NOT NULL AND NEW.place IS NOT (SELECT to_place FROM movement WHERE item = NEW.item ORDER BY id DESC LIMIT 1))
    OR (NEW.owner IS NOT OLD.owner AND NEW.owner IS NOT (SELECT to_party FROM transfer WHERE item = NEW.item AND title = 1 ORDER BY rank DESC LIMIT 1))
    OR (NEW.custodian IS NOT OLD.custodian AND NEW.custodian IS NOT (SELECT to_party FROM transfer WHERE item = NEW.item AND custody = 1 ORDER BY rank DESC LIMIT 1)))
BEGIN SELECT RAISE(ABORT, 'standing: it follows movements and transfers, and is not written by hand'); END;

DROP TRIGGER print_state_by_transfer;
CREATE TRIGGER print_state_by_transfer BEFORE UPDATE OF state ON print
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.state <> NEW.state AND NEW.state <> coalesce(
    (SELECT CASE kind WHEN 'destruction' THEN 'destroyed' WHEN 'finding' THEN 'living' ELSE 'lost' END FROM transfer
     WHERE item = NEW.id AND kind IN ('destruction', 'loss', 'theft', 'finding') ORDER BY rank DESC LIMIT 1), 'living')
BEGIN SELECT RAISE(ABORT, 'print: a state changes by a transfer only'); END;
