-- one row a session in the darkroom, planned on a sheet of paper with codes given beforehand
CREATE TABLE session (
    id INTEGER PRIMARY KEY AUTOINCREMENT,   -- a number is never given twice: its sheet may lie at the sink
    negative INTEGER NOT NULL REFERENCES negative(id),
    edition INTEGER REFERENCES edition(id),
    paper INTEGER REFERENCES paper(id),
    planned TEXT NOT NULL CHECK (planned GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),    -- the day it is for
    entered TEXT NOT NULL DEFAULT '',       -- the day its sheet was entered
    by TEXT NOT NULL,
    note TEXT NOT NULL DEFAULT ''
) STRICT;

-- one row a code that was given to a sheet or strip of paper before it was anything; what was not kept is void
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
  OR OLD.edition IS NOT NEW.edition OR OLD.paper IS NOT NEW.paper OR OLD.planned IS NOT NEW.planned)
BEGIN SELECT RAISE(ABORT, 'session: its sheet is entered once'); END;

CREATE TRIGGER session_sheet_once BEFORE UPDATE ON session_sheet
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND (OLD.standing <> 'open' OR OLD.session IS NOT NEW.session)
BEGIN SELECT RAISE(ABORT, 'session: a sheet was kept or not, once'); END;

CREATE TRIGGER session_sheet_kept BEFORE UPDATE OF standing ON session_sheet
WHEN NOT EXISTS (SELECT 1 FROM undoing)
 AND (NEW.standing = 'kept') IS NOT EXISTS (SELECT 1 FROM item WHERE id = NEW.code)
BEGIN SELECT RAISE(ABORT, 'session: what was kept is an item, and what was not is none'); END;

CREATE TRIGGER session_sheet_new BEFORE INSERT ON session_sheet
WHEN NEW.standing <> 'open' OR EXISTS (SELECT 1 FROM item WHERE id = NEW.code)
  OR EXISTS (SELECT 1 FROM session WHERE id = NEW.session AND entered <> '')
  OR NOT EXISTS (SELECT 1 FROM code WHERE id = NEW.code AND kind IN ('print', 'control strip'))
BEGIN SELECT RAISE(ABORT, 'session: a code is given to a sheet before it is anything, and before it was entered'); END;

CREATE TRIGGER session_entered_whole BEFORE UPDATE OF entered ON session
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND NEW.entered <> ''
 AND EXISTS (SELECT 1 FROM session_sheet WHERE session = NEW.id AND standing = 'open')
BEGIN SELECT RAISE(ABORT, 'session: of each of its sheets it is told whether it was kept'); END;

CREATE TRIGGER item_of_void_code BEFORE INSERT ON item
WHEN EXISTS (SELECT 1 FROM session_sheet WHERE code = NEW.id AND standing = 'void')
BEGIN SELECT RAISE(ABORT, 'item: its code is void, for the sheet it was given to was not kept'); END;
