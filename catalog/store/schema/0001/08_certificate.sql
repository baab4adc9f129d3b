-- one row a public key of the artist; kept for ever
CREATE TABLE artist_key (
    id INTEGER PRIMARY KEY,
    thumbprint TEXT NOT NULL UNIQUE,     -- RFC 7638
    x TEXT NOT NULL UNIQUE,              -- RFC 8037 public key, base64url
    since TEXT NOT NULL
) STRICT;

-- one row a signed statement issued for one print
CREATE TABLE certificate (
    id INTEGER PRIMARY KEY REFERENCES code(id),
    print INTEGER NOT NULL REFERENCES print(id),
    issued TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    facts TEXT NOT NULL,                 -- public facts, canonical JSON (RFC 8785)
    private_facts TEXT NOT NULL,         -- canonical JSON; its salted digest stands in the public facts
    jws TEXT NOT NULL,                   -- compact JWS over the public facts (RFC 7515)
    key INTEGER NOT NULL REFERENCES artist_key(id),
    supersedes INTEGER REFERENCES certificate(id),
    by TEXT NOT NULL
) STRICT;
CREATE INDEX certificate_print ON certificate(print);
CREATE UNIQUE INDEX certificate_supersedes ON certificate(supersedes) WHERE supersedes IS NOT NULL;

CREATE TRIGGER certificate_of BEFORE INSERT ON certificate
WHEN NOT EXISTS (SELECT 1 FROM code WHERE id = NEW.id AND kind = 'certificate')
  OR NOT EXISTS (SELECT 1 FROM print WHERE id = NEW.print AND signed <> '')
BEGIN SELECT RAISE(ABORT, 'certificate: it is issued for a signed print'); END;

-- one row the end of a certificate
CREATE TABLE certificate_event (
    id INTEGER PRIMARY KEY,
    certificate INTEGER NOT NULL UNIQUE REFERENCES certificate(id),
    event TEXT NOT NULL CHECK (event IN ('revoked', 'superseded')),
    why TEXT NOT NULL,
    happened TEXT NOT NULL,
    by TEXT NOT NULL
) STRICT;
