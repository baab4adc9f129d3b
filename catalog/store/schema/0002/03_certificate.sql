-- Whose key it is, which one it follows, and the word of that one for it: a compact JWS, empty where it could not sign.
ALTER TABLE artist_key ADD COLUMN holder TEXT NOT NULL DEFAULT 'artist' CHECK (holder IN ('artist', 'estate'));
ALTER TABLE artist_key ADD COLUMN follows INTEGER REFERENCES artist_key(id);
ALTER TABLE artist_key ADD COLUMN succession TEXT NOT NULL DEFAULT '';
ALTER TABLE artist_key ADD COLUMN why TEXT NOT NULL DEFAULT '';

-- one row the end of a key: from then on it signs nothing, and what it signed before stands
CREATE TABLE artist_key_end (
    id INTEGER PRIMARY KEY,
    key INTEGER NOT NULL UNIQUE REFERENCES artist_key(id),
    why TEXT NOT NULL CHECK (length(why) > 0),
    happened TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    by TEXT NOT NULL
) STRICT;

-- the short statement of the square on the paper: identity, and the digest of the public facts, a compact JWS
ALTER TABLE certificate ADD COLUMN slip TEXT NOT NULL DEFAULT '';

-- One print has one certificate that stands: what it supersedes ends first.
CREATE TRIGGER certificate_once BEFORE INSERT ON certificate
WHEN EXISTS (SELECT 1 FROM certificate c WHERE c.print = NEW.print
     AND NOT EXISTS (SELECT 1 FROM certificate_event WHERE certificate = c.id))
  OR (NEW.supersedes IS NOT NULL AND (SELECT print FROM certificate WHERE id = NEW.supersedes) IS NOT NEW.print)
BEGIN SELECT RAISE(ABORT, 'certificate: a print has one that stands; what it supersedes is of the same print'); END;

CREATE TRIGGER certificate_by_key BEFORE INSERT ON certificate
WHEN ((SELECT holder FROM artist_key WHERE id = NEW.key) IS 'artist' AND (
        EXISTS (SELECT 1 FROM print JOIN edition ON edition.id = print.edition
                WHERE print.id = NEW.print AND edition.estate = 1)
        OR NEW.earliest > (SELECT died_latest FROM party, catalog
                           WHERE party.id = catalog.artist AND died_latest <> '')))
  OR EXISTS (SELECT 1 FROM artist_key_end WHERE key = NEW.key AND NEW.earliest > latest)
BEGIN SELECT RAISE(ABORT, 'certificate: this key does not sign it: an estate has its own, and an ended key signs nothing'); END;

CREATE TRIGGER artist_key_end_after BEFORE INSERT ON artist_key_end
WHEN EXISTS (SELECT 1 FROM certificate c WHERE c.key = NEW.key AND c.earliest > NEW.latest
     AND NOT EXISTS (SELECT 1 FROM certificate_event WHERE certificate = c.id AND event = 'revoked'))
BEGIN SELECT RAISE(ABORT, 'artist_key_end: a key does not end before it last signed'); END;

CREATE TRIGGER artist_key_follows BEFORE INSERT ON artist_key
WHEN (NEW.follows IS NULL AND NEW.succession <> '') OR (NEW.follows IS NOT NULL AND NEW.succession = '' AND NEW.why = '')
BEGIN SELECT RAISE(ABORT, 'artist_key: a key follows another by its word, or for a reason'); END;
