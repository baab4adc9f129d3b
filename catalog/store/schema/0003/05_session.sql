-- one row a session in the darkroom, planned on a sheet of paper with codes given beforehand
CREATE TABLE session (
    id INTEGER PRIMARY KEY,
    negative INTEGER NOT NULL REFERENCES negative(id),
    edition INTEGER REFERENCES edition(id),
    paper INTEGER REFERENCES paper(id),
    planned TEXT NOT NULL,                  -- the day it is for
    entered TEXT NOT NULL DEFAULT '',       -- the day its sheet was entered
    by TEXT NOT NULL,
    note TEXT NOT NULL DEFAULT ''
) STRICT;

-- one row a code that was given to a sheet of paper before it was a print; what was not kept is void
CREATE TABLE session_sheet (
    code INTEGER PRIMARY KEY REFERENCES code(id),
    session INTEGER NOT NULL REFERENCES session(id),
    standing TEXT NOT NULL DEFAULT 'open' CHECK (standing IN ('open', 'kept', 'void')),
    note TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX session_sheet_session ON session_sheet(session);

CREATE TRIGGER session_of BEFORE INSERT ON session
WHEN NEW.edition IS NOT NULL AND NEW.negative IS NOT (SELECT negative FROM edition WHERE id = NEW.edition)
BEGIN SELECT RAISE(ABORT, 'session: its edition is of another negative'); END;

CREATE TRIGGER session_entered_once BEFORE UPDATE ON session
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND (OLD.entered <> '' OR OLD.negative IS NOT NEW.negative
  OR OLD.edition IS NOT NEW.edition)
BEGIN SELECT RAISE(ABORT, 'session: its sheet is entered once'); END;

CREATE TRIGGER session_sheet_once BEFORE UPDATE ON session_sheet
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND (OLD.standing <> 'open' OR OLD.session IS NOT NEW.session)
BEGIN SELECT RAISE(ABORT, 'session: a sheet was kept or not, once'); END;

CREATE TRIGGER session_sheet_kept BEFORE UPDATE OF standing ON session_sheet
WHEN NOT EXISTS (SELECT 1 FROM undoing)
 AND (NEW.standing = 'kept') IS NOT EXISTS (SELECT 1 FROM print WHERE id = NEW.code)
BEGIN SELECT RAISE(ABORT, 'session: what was kept is a print, and what was not is none'); END;

CREATE TRIGGER print_of_void_code BEFORE INSERT ON print
WHEN EXISTS (SELECT 1 FROM session_sheet WHERE code = NEW.id AND standing = 'void')
BEGIN SELECT RAISE(ABORT, 'print: its code is void, for the sheet it was given to was not kept'); END;
