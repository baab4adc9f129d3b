-- A recorded death stays, but for a slip in its date while nothing of the estate's rests on it; and it is not earlier
-- than what the artist signed.
DROP TRIGGER party_death_stays;
CREATE TRIGGER party_death_stays BEFORE UPDATE OF died, died_latest ON party
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND OLD.died_latest <> ''
 AND (OLD.died_latest <> NEW.died_latest OR OLD.died <> NEW.died)
 AND (NEW.died_latest = '' OR NEW.died = '' OR (OLD.id IS (SELECT artist FROM catalog)
      AND (EXISTS (SELECT 1 FROM print JOIN edition ON edition.id = print.edition WHERE edition.estate = 1)
        OR EXISTS (SELECT 1 FROM certificate c JOIN artist_key k ON k.id = c.key WHERE k.holder = 'estate'))))
BEGIN SELECT RAISE(ABORT, 'party: a recorded death stays'); END;

CREATE TRIGGER party_death_after_signing BEFORE UPDATE OF died, died_latest ON party
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND NEW.died_latest <> '' AND NEW.id IS (SELECT artist FROM catalog)
 AND (EXISTS (SELECT 1 FROM print p WHERE p.signed <> '' AND p.signed_earliest > NEW.died_latest
        AND NOT EXISTS (SELECT 1 FROM edition WHERE id = p.edition AND estate = 1))
   OR EXISTS (SELECT 1 FROM certificate c JOIN artist_key k ON k.id = c.key WHERE k.holder = 'artist'
        AND c.earliest > NEW.died_latest
        AND NOT EXISTS (SELECT 1 FROM certificate_event WHERE certificate = c.id AND event = 'revoked')))
BEGIN SELECT RAISE(ABORT, 'party: the artist signed something after that day'); END;
