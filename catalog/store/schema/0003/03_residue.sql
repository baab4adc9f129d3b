-- one row a set of readings that a curve is fitted to: a wash trial, or strips with a known residue
CREATE TABLE calibration (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE COLLATE NOCASE CHECK (length(name) > 0),
    kind TEXT NOT NULL CHECK (kind IN ('wash', 'stain', 'absorbance')),
    paper INTEGER REFERENCES paper(id),
    washer INTEGER REFERENCES washer(id),
    method TEXT NOT NULL DEFAULT '',       -- how the residues of a wash trial were measured
    text TEXT NOT NULL DEFAULT '',         -- what else was the same for all readings
    happened TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    clock TEXT NOT NULL DEFAULT '',
    by TEXT NOT NULL,
    note TEXT NOT NULL DEFAULT ''
) STRICT;

-- one row a reading: seconds washed, or ten-thousandths of density or absorbance, and what was left in the sheet
CREATE TABLE calibration_point (
    calibration INTEGER NOT NULL REFERENCES calibration(id),
    position INTEGER NOT NULL CHECK (position > 0),
    reading INTEGER NOT NULL CHECK (reading >= 0),
    residue INTEGER NOT NULL CHECK (residue >= 0),  -- nanograms a square centimetre; of an absorbance, nanograms
    PRIMARY KEY (calibration, position)
) STRICT, WITHOUT ROWID;

-- Its own row is then among what is not sealed yet.
CREATE TRIGGER calibration_point_at_once BEFORE INSERT ON calibration_point
WHEN NOT EXISTS (SELECT 1 FROM journal WHERE id > (SELECT coalesce(max(last), 0) FROM journal_seal)
  AND tbl = 'calibration' AND key = json_array(NEW.calibration) AND before IS NULL)
BEGIN SELECT RAISE(ABORT, 'calibration: its readings are told at once; make another'); END;

-- How a measured value was got: as it was given, with unit, basis, sides, volumes, as JSON; and the curve it rests on.
ALTER TABLE residual_test ADD COLUMN given TEXT NOT NULL DEFAULT '{}' CHECK (json_valid(given));
ALTER TABLE residual_test ADD COLUMN calibration INTEGER REFERENCES calibration(id);
CREATE INDEX residual_test_calibration ON residual_test(calibration) WHERE calibration IS NOT NULL;

CREATE TRIGGER residual_test_calibrated BEFORE INSERT ON residual_test
WHEN EXISTS (SELECT 1 FROM calibration WHERE id = NEW.calibration AND kind = 'wash')
BEGIN SELECT RAISE(ABORT, 'test: a wash trial turns no reading into a residue'); END;
