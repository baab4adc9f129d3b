-- one row a proven way of working; another way is another routine
CREATE TABLE routine (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE COLLATE NOCASE CHECK (length(name) > 0),
    paper INTEGER NOT NULL REFERENCES paper(id),    -- its stock: another batch of it needs tests of its own
    fixer TEXT NOT NULL CHECK (length(fixer) > 0),  -- name and dilution of the bath
    fix_seconds INTEGER NOT NULL CHECK (fix_seconds > 0),
    second_fix_seconds INTEGER CHECK (second_fix_seconds > 0),   -- null: one fixer
    wash_aid TEXT NOT NULL DEFAULT '',
    wash_aid_seconds INTEGER CHECK (wash_aid_seconds > 0),
    toner TEXT NOT NULL DEFAULT '',                 -- '': untoned
    washer INTEGER NOT NULL REFERENCES washer(id),
    wash_seconds INTEGER NOT NULL CHECK (wash_seconds > 0),      -- after the last chemical step
    changes INTEGER CHECK (changes > 0),            -- fewest changes of water in that wash
    sheets INTEGER CHECK (sheets > 0),              -- most in one wash
    celsius INTEGER,                                -- coldest, thousandths of a degree
    tests INTEGER NOT NULL CHECK (tests > 0),       -- how many strips on end must be clean
    lapse_days INTEGER NOT NULL CHECK (lapse_days > 0),
    basis TEXT NOT NULL CHECK (length(basis) > 0),
    begun TEXT NOT NULL,
    ended TEXT NOT NULL DEFAULT '',
    by TEXT NOT NULL,
    note TEXT NOT NULL DEFAULT '',
    CHECK (ended = '' OR ended >= begun),
    CHECK ((wash_aid = '') = (wash_aid_seconds IS NULL))
) STRICT;

CREATE TRIGGER routine_fixed BEFORE UPDATE ON routine
WHEN NOT EXISTS (SELECT 1 FROM undoing) AND (OLD.name IS NOT NEW.name OR OLD.paper IS NOT NEW.paper
  OR OLD.fixer IS NOT NEW.fixer OR OLD.fix_seconds IS NOT NEW.fix_seconds
  OR OLD.second_fix_seconds IS NOT NEW.second_fix_seconds OR OLD.wash_aid IS NOT NEW.wash_aid
  OR OLD.wash_aid_seconds IS NOT NEW.wash_aid_seconds OR OLD.toner IS NOT NEW.toner OR OLD.washer IS NOT NEW.washer
  OR OLD.wash_seconds IS NOT NEW.wash_seconds OR OLD.changes IS NOT NEW.changes OR OLD.sheets IS NOT NEW.sheets
  OR OLD.celsius IS NOT NEW.celsius OR OLD.tests IS NOT NEW.tests OR OLD.lapse_days IS NOT NEW.lapse_days
  OR OLD.basis IS NOT NEW.basis OR OLD.begun IS NOT NEW.begun OR OLD.ended <> '')
BEGIN SELECT RAISE(ABORT, 'routine: another way of working is another routine; this one can only end, once'); END;

-- What proves a routine on a paper are its strips and work prints.
CREATE INDEX control_strip_paper ON control_strip(paper);
CREATE INDEX print_work_paper ON print(paper) WHERE kind = 'work';

-- What came into a washer between two instants restarts the washing of what was in it.
CREATE INDEX step_item_joined ON step_item(joined) WHERE joined <> '';
CREATE INDEX step_wash ON step(washer, earliest) WHERE kind = 'wash';
-- What was found in prints speaks against a routine and against what shared their baths.
CREATE INDEX residual_test_found ON residual_test(item) WHERE reading <> 'none';
