-- one row a density read on one patch of a plate or print
CREATE TABLE density (
    id INTEGER PRIMARY KEY,
    item INTEGER NOT NULL REFERENCES item(id),
    patch TEXT NOT NULL CHECK (length(patch) > 0),  -- what it is of, such as highlight, mid, shadow
    stage TEXT NOT NULL DEFAULT '' CHECK (stage IN ('', 'wet', 'dry', 'before redevelopment',
        'after redevelopment')),
    value INTEGER NOT NULL CHECK (value BETWEEN 0 AND 9999),     -- thousandths
    happened TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    clock TEXT NOT NULL DEFAULT '',
    by TEXT NOT NULL,
    note TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX density_item ON density(item);

-- one row how an approved print was made; that of the newest day (or of the negative, where an edition has none) is in use
CREATE TABLE recipe (
    id INTEGER PRIMARY KEY,
    negative INTEGER NOT NULL REFERENCES negative(id),
    edition INTEGER REFERENCES edition(id),
    print INTEGER REFERENCES print(id),              -- the approved one
    paper INTEGER REFERENCES paper(id),
    speed INTEGER CHECK (speed > 0),                 -- paper speed as the user has it, thousandths
    developer TEXT NOT NULL DEFAULT '',
    develop_seconds INTEGER CHECK (develop_seconds > 0),
    celsius INTEGER,
    lamp TEXT NOT NULL DEFAULT '',
    distance INTEGER CHECK (distance > 0),           -- micrometres, lamp to paper
    illuminance INTEGER CHECK (illuminance > 0),     -- thousandths of a lux, at the paper
    image_height INTEGER CHECK (image_height > 0),   -- micrometres
    image_width INTEGER CHECK (image_width > 0),
    dry_down INTEGER CHECK (dry_down BETWEEN 0 AND 99999),   -- thousandths of a per cent of exposure
    toning TEXT NOT NULL DEFAULT '',
    happened TEXT NOT NULL,
    earliest TEXT NOT NULL,
    latest TEXT NOT NULL,
    clock TEXT NOT NULL DEFAULT '',
    by TEXT NOT NULL,
    note TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX recipe_negative ON recipe(negative);
CREATE INDEX recipe_edition ON recipe(edition) WHERE edition IS NOT NULL;
CREATE INDEX recipe_print ON recipe(print) WHERE print IS NOT NULL;

-- one row an exposure of a recipe, or a part held back or given more of one
CREATE TABLE recipe_exposure (
    recipe INTEGER NOT NULL REFERENCES recipe(id),
    position INTEGER NOT NULL CHECK (position > 0),
    kind TEXT NOT NULL CHECK (kind IN ('base', 'dodge', 'burn')),
    filter TEXT NOT NULL DEFAULT '',                 -- grade or filter, such as soft, hard, 2
    milliseconds INTEGER CHECK (milliseconds > 0),
    stops INTEGER CHECK (stops > 0),                 -- thousandths of a stop, so that it survives a change of the base
    area TEXT NOT NULL DEFAULT '',
    speed INTEGER CHECK (speed > 0),                 -- of the paper through this filter, thousandths
    PRIMARY KEY (recipe, position),
    CHECK ((kind = 'base') = (milliseconds IS NOT NULL)),
    CHECK ((kind = 'base') = (stops IS NULL))
) STRICT, WITHOUT ROWID;

CREATE TRIGGER recipe_of BEFORE INSERT ON recipe
WHEN (NEW.edition IS NOT NULL AND NEW.negative IS NOT (SELECT negative FROM edition WHERE id = NEW.edition))
  OR (NEW.print IS NOT NULL AND (NEW.negative IS NOT (SELECT negative FROM print WHERE id = NEW.print)
    OR NEW.edition IS NOT (SELECT edition FROM print WHERE id = NEW.print)))
BEGIN SELECT RAISE(ABORT, 'recipe: its negative and edition are those of its approved print'); END;

-- Its own row is then among what is not sealed yet.
CREATE TRIGGER recipe_exposure_at_once BEFORE INSERT ON recipe_exposure
WHEN NOT EXISTS (SELECT 1 FROM journal WHERE id > (SELECT coalesce(max(last), 0) FROM journal_seal)
  AND tbl = 'recipe' AND key = json_array(NEW.recipe) AND before IS NULL)
BEGIN SELECT RAISE(ABORT, 'recipe: it is told at once; a newer one takes its place'); END;
