-- A negative that is gone makes no print: not one dated later afterwards, nor one that was its cancellation proof.
DROP TRIGGER print_negative_gone;
CREATE TRIGGER print_negative_gone BEFORE INSERT ON print
WHEN NEW.kind IS NOT 'CP' AND EXISTS (SELECT 1 FROM negative_event WHERE negative = NEW.negative
     AND state IN ('cancelled', 'broken', 'destroyed') AND max(NEW.earliest, NEW.latest) > latest)
BEGIN SELECT RAISE(ABORT, 'print: its negative was cancelled, broken or destroyed before that date'); END;

CREATE TRIGGER print_negative_gone_update BEFORE UPDATE OF earliest, latest, kind ON print
WHEN (max(NEW.earliest, NEW.latest) > max(OLD.earliest, OLD.latest) OR (OLD.kind IS 'CP' AND NEW.kind IS NOT 'CP'))
 AND NEW.kind IS NOT 'CP' AND NOT EXISTS (SELECT 1 FROM undoing)
 AND EXISTS (SELECT 1 FROM negative_event WHERE negative = NEW.negative
     AND state IN ('cancelled', 'broken', 'destroyed') AND max(NEW.earliest, NEW.latest) > latest)
BEGIN SELECT RAISE(ABORT, 'print: its negative was cancelled, broken or destroyed before that date'); END;

-- After a recorded death nothing of a lifetime edition is signed, and no number of it given but to what was signed
-- before: only a cancellation proof, which gives nothing out, is still made.
DROP TRIGGER print_after_death_insert;
CREATE TRIGGER print_after_death_insert BEFORE INSERT ON print
WHEN EXISTS (SELECT 1 FROM party, catalog WHERE party.id = catalog.artist AND died_latest <> '' AND (
        (NEW.signed <> '' AND NEW.signed_earliest > died_latest)
        OR (NEW.signed = '' AND NEW.kind NOT IN ('work', 'reference', 'unique', 'CP'))))
 AND NOT EXISTS (SELECT 1 FROM edition WHERE id = NEW.edition AND estate = 1)
BEGIN SELECT RAISE(ABORT, 'print: nothing is signed or numbered by the artist after the artist''s death'); END;

DROP TRIGGER print_after_death_update;
CREATE TRIGGER print_after_death_update BEFORE UPDATE OF edition, kind, number, signed, signed_earliest ON print
WHEN EXISTS (SELECT 1 FROM party, catalog WHERE party.id = catalog.artist AND died_latest <> '' AND (
        (NEW.signed <> '' AND NEW.signed_earliest > died_latest)
        OR (NEW.signed = '' AND NEW.kind NOT IN ('work', 'reference', 'unique', 'CP')
            AND (OLD.edition IS NOT NEW.edition OR OLD.kind IS NOT NEW.kind OR OLD.number IS NOT NEW.number))))
 AND NOT EXISTS (SELECT 1 FROM edition WHERE id = NEW.edition AND estate = 1)
 AND NOT EXISTS (SELECT 1 FROM undoing)
BEGIN SELECT RAISE(ABORT, 'print: nothing is signed or numbered by the artist after the artist''s death'); END;

-- A signature has its day; only of one dated up to a day (“/2021”, “[..2021]”) is the first day not known.
CREATE TRIGGER print_signature_dated_insert BEFORE INSERT ON print
WHEN NEW.signed <> '' AND NEW.signed_earliest = '' AND instr(NEW.signed, '..') NOT IN (1, 2) AND instr(NEW.signed, '/') <> 1
BEGIN SELECT RAISE(ABORT, 'print: a signature has its day'); END;

CREATE TRIGGER print_signature_dated_update BEFORE UPDATE OF signed, signed_earliest ON print
WHEN NEW.signed_earliest = '' AND NEW.signed <> '' AND instr(NEW.signed, '..') NOT IN (1, 2) AND instr(NEW.signed, '/') <> 1
 AND NOT EXISTS (SELECT 1 FROM undoing)
BEGIN SELECT RAISE(ABORT, 'print: a signature has its day'); END;

-- An edition that is cancelled, or an open one that ended, gives nothing more; a replacement bears a number given before.
CREATE TRIGGER print_edition_ended_insert BEFORE INSERT ON print
WHEN NEW.kind NOT IN ('work', 'reference', 'unique', 'CP') AND NEW.replaces IS NULL
 AND EXISTS (SELECT 1 FROM edition WHERE id = NEW.edition
     AND (state = 'cancelled' OR (size IS NULL AND state <> 'declared')))
BEGIN SELECT RAISE(ABORT, 'print: its edition ended, and gives nothing more'); END;

CREATE TRIGGER print_edition_ended_update BEFORE UPDATE OF edition, kind, number, replaces ON print
WHEN NEW.kind NOT IN ('work', 'reference', 'unique', 'CP') AND NEW.replaces IS NULL
 AND (OLD.edition IS NOT NEW.edition OR OLD.kind IS NOT NEW.kind OR OLD.number IS NOT NEW.number)
 AND EXISTS (SELECT 1 FROM edition WHERE id = NEW.edition
     AND (state = 'cancelled' OR (size IS NULL AND state <> 'declared')))
 AND NOT EXISTS (SELECT 1 FROM undoing)
BEGIN SELECT RAISE(ABORT, 'print: its edition ended, and gives nothing more'); END;

CREATE TRIGGER print_size_frozen BEFORE UPDATE OF image_height, image_width, sheet_height, sheet_width ON print
WHEN NOT EXISTS (SELECT 1 FROM undoing)
 AND (OLD.image_height IS NOT NEW.image_height OR OLD.image_width IS NOT NEW.image_width
   OR OLD.sheet_height IS NOT NEW.sheet_height OR OLD.sheet_width IS NOT NEW.sheet_width)
 AND (EXISTS (SELECT 1 FROM certificate WHERE print = OLD.id) OR EXISTS (SELECT 1 FROM transfer WHERE item = OLD.id))
BEGIN SELECT RAISE(ABORT, 'print: its size is frozen after the first certificate or transfer'); END;

-- A print is unique while no edition of its image gives anything out.
CREATE TRIGGER print_unique_insert BEFORE INSERT ON print
WHEN NEW.kind = 'unique' AND EXISTS (SELECT 1 FROM edition e WHERE e.negative = NEW.negative
     AND (e.state <> 'cancelled' OR EXISTS (SELECT 1 FROM print p WHERE p.edition = e.id AND p.kind IS NOT NULL
          AND p.kind NOT IN ('work', 'reference', 'CP'))))
BEGIN SELECT RAISE(ABORT, 'print: it is not unique beside an edition of its image'); END;

CREATE TRIGGER print_unique_update BEFORE UPDATE OF kind ON print
WHEN NEW.kind = 'unique' AND OLD.kind IS NOT 'unique' AND NOT EXISTS (SELECT 1 FROM undoing)
 AND EXISTS (SELECT 1 FROM edition e WHERE e.negative = NEW.negative
     AND (e.state <> 'cancelled' OR EXISTS (SELECT 1 FROM print p WHERE p.edition = e.id AND p.kind IS NOT NULL
          AND p.kind NOT IN ('work', 'reference', 'CP'))))
BEGIN SELECT RAISE(ABORT, 'print: it is not unique beside an edition of its image'); END;

-- A number passes from the day its print was destroyed; “2019~” is after every day of a signature dated “2019”.
CREATE TRIGGER print_replacement_after_insert BEFORE INSERT ON print
WHEN NEW.replaces IS NOT NULL AND NEW.signed <> '' AND NEW.signed NOT GLOB '*[^0-9-]*' AND EXISTS (SELECT 1 FROM transfer
     WHERE item = NEW.replaces AND kind = 'destruction' AND earliest > NEW.signed || '~')
BEGIN SELECT RAISE(ABORT, 'print: a replacement is signed after the print that it replaces was destroyed'); END;

CREATE TRIGGER print_replacement_after_update BEFORE UPDATE OF replaces, signed ON print
WHEN NEW.replaces IS NOT NULL AND NEW.signed <> '' AND NEW.signed NOT GLOB '*[^0-9-]*'
 AND (OLD.replaces IS NOT NEW.replaces OR OLD.signed IS NOT NEW.signed) AND NOT EXISTS (SELECT 1 FROM undoing)
 AND EXISTS (SELECT 1 FROM transfer
     WHERE item = NEW.replaces AND kind = 'destruction' AND earliest > NEW.signed || '~')
BEGIN SELECT RAISE(ABORT, 'print: a replacement is signed after the print that it replaces was destroyed'); END;
