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

CREATE TRIGGER calibration_fixed BEFORE UPDATE ON calibration
WHEN NOT EXISTS (SELECT 1 FROM undoing)
BEGIN SELECT RAISE(ABORT, 'calibration: what it was made of stays; make another'); END;

CREATE TRIGGER calibration_point_fixed BEFORE UPDATE ON calibration_point
WHEN NOT EXISTS (SELECT 1 FROM undoing)
BEGIN SELECT RAISE(ABORT, 'calibration: a reading stays as it was told; make another calibration'); END;

CREATE TRIGGER calibration_point_used BEFORE INSERT ON calibration_point
WHEN EXISTS (SELECT 1 FROM residual_test WHERE calibration = NEW.calibration)
BEGIN SELECT RAISE(ABORT, 'calibration: a test rests on it, so nothing is added; make another'); END;

-- How a measured value was got: as it was given, with unit, basis, sides, volumes, as JSON; and the curve it rests on.
ALTER TABLE residual_test ADD COLUMN given TEXT NOT NULL DEFAULT '{}';
ALTER TABLE residual_test ADD COLUMN calibration INTEGER REFERENCES calibration(id);
CREATE INDEX residual_test_calibration ON residual_test(calibration) WHERE calibration IS NOT NULL;
