-- How an edition ended is an event, and its state follows; a schema before this one knew states without events.
CREATE TRIGGER edition_begins BEFORE INSERT ON edition WHEN NEW.state <> 'declared' OR NEW.closed_at IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'edition: it ends by an event only'); END;

CREATE TRIGGER edition_event_possible BEFORE INSERT ON edition_event
WHEN EXISTS (SELECT 1 FROM edition e WHERE e.id = NEW.edition AND (
        e.state = 'cancelled' OR (e.state <> 'declared' AND NEW.state <> 'cancelled')
        OR (NEW.latest <> '' AND NEW.latest < e.earliest)
        OR EXISTS (SELECT 1 FROM edition_event v WHERE v.edition = e.id AND NEW.latest <> '' AND NEW.latest < v.earliest)
        OR (NEW.state = 'closed early' AND NEW.closed_at >= coalesce(e.size, 0))
        OR (NEW.state IN ('complete', 'cancelled') AND coalesce(e.closed_at, e.size, 0) > (SELECT count(*)
            FROM edition_number WHERE edition = e.id AND kind = 'numbered' AND standing IN ('given', 'void')))))
BEGIN SELECT RAISE(ABORT, 'edition: it ends once, and no number of it is left open then'); END;

CREATE TRIGGER edition_event_state AFTER INSERT ON edition_event
BEGIN UPDATE edition SET state = NEW.state, closed_at = coalesce(NEW.closed_at, closed_at) WHERE id = NEW.edition; END;

DROP TRIGGER edition_state_final;
CREATE TRIGGER edition_state_by_event BEFORE UPDATE OF state, closed_at ON edition
WHEN NOT EXISTS (SELECT 1 FROM undoing)
 AND ((OLD.state IS NOT NEW.state
       AND NEW.state IS NOT (SELECT state FROM edition_event WHERE edition = NEW.id ORDER BY id DESC LIMIT 1))
   OR (OLD.closed_at IS NOT NEW.closed_at
       AND NEW.closed_at IS NOT (SELECT closed_at FROM edition_event WHERE edition = NEW.id ORDER BY id DESC LIMIT 1)))
BEGIN SELECT RAISE(ABORT, 'edition: a state changes by an event only, and does not open again'); END;

-- A number that is promised stays so until the promise ends; one that is given has its print, within what was declared.
CREATE TRIGGER edition_number_held BEFORE UPDATE OF standing ON edition_number
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.standing <> NEW.standing AND (
    (NEW.standing IN ('free', 'void') AND OLD.standing = 'reserved' AND EXISTS (SELECT 1 FROM promise
     WHERE edition = OLD.edition AND kind = OLD.kind AND number = OLD.number AND ended = ''))
 OR (NEW.standing = 'given' AND NOT EXISTS
     (SELECT 1 FROM print WHERE edition = OLD.edition AND kind = OLD.kind AND number = OLD.number))
 OR (NEW.standing IN ('given', 'reserved') AND NEW.number > coalesce(CASE WHEN NEW.kind = 'numbered'
     THEN (SELECT coalesce(closed_at, size) FROM edition WHERE id = NEW.edition)
     ELSE (SELECT count FROM edition_proofs WHERE edition = NEW.edition AND kind = NEW.kind) END, 0)))
BEGIN SELECT RAISE(ABORT, 'edition: a number follows its promise and its print'); END;

-- A promise holds a number, before or after it is printed, for one party, and is not made to another one afterwards.
CREATE TRIGGER promise_holds BEFORE INSERT ON promise
WHEN NOT EXISTS (SELECT 1 FROM edition_number WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number
     AND standing IN ('reserved', 'given'))
BEGIN SELECT RAISE(ABORT, 'promise: its number is held first'); END;

CREATE TRIGGER promise_stays BEFORE UPDATE OF edition, kind, number, party ON promise
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND (OLD.edition IS NOT NEW.edition OR OLD.kind IS NOT NEW.kind
  OR OLD.number IS NOT NEW.number OR OLD.party IS NOT NEW.party)
BEGIN SELECT RAISE(ABORT, 'promise: it is of one number to one party; withdraw it, and promise again'); END;

-- It ends once: kept by the change of hands that brought its print to the one it was promised to, or withdrawn.
CREATE TRIGGER promise_ends BEFORE UPDATE OF ended ON promise
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.ended IS NOT NEW.ended AND (OLD.ended <> '' OR (NEW.ended = 'kept'
  AND NOT EXISTS (SELECT 1 FROM print p JOIN transfer t ON t.item = p.id WHERE p.edition = OLD.edition
      AND p.kind = OLD.kind AND p.number = OLD.number AND t.to_party = OLD.party
      AND t.kind IN ('sale', 'gift', 'bequest', 'exchange'))))
BEGIN SELECT RAISE(ABORT, 'promise: it is kept by a change of hands, and what ended does not begin again'); END;

CREATE TRIGGER edition_number_with_print BEFORE INSERT ON edition_number
WHEN NEW.standing = 'given' AND NOT EXISTS
     (SELECT 1 FROM print WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number)
BEGIN SELECT RAISE(ABORT, 'edition: a number that is given has its print'); END;
