-- What waits is found without reading what does not. Where one row tells, an index of such rows alone is enough; where
-- it takes several, a list is kept by triggers (store/waiting_list.py). It holds all that may wait, and what waits indeed
-- is then worked out.

-- one row a thing that may wait: a print to be washed, a control strip to be tested, a sale to be paid, an edition whose
-- last number is given to be called complete; kept by triggers, proved by check
CREATE TABLE waiting (
    what TEXT NOT NULL CHECK (what IN ('wash', 'test', 'payment', 'edition')),
    id INTEGER NOT NULL,                    -- of the item, the transfer or the edition
    PRIMARY KEY (what, id)
) STRICT, WITHOUT ROWID;

-- Where a step of an item stands in time, as records/loads.py has it: a wash where it ended. An instant without its
-- offset from universal time, or with a fraction of a second, which no command writes, is not compared.
CREATE VIEW step_place AS
SELECT i.item, i.step, s.kind, i.joined, i.left_at,
    CASE WHEN i.joined <> '' THEN substr(coalesce(nullif(i.left_at, ''), i.joined), 1, 10)
         WHEN s.earliest <> '' THEN s.earliest ELSE s.latest END AS day,
    i.joined <> '' OR s.clock <> '' AS timed,
    CASE WHEN instr(i.joined || i.left_at || s.clock, '.') THEN NULL
         WHEN i.joined <> '' THEN julianday(coalesce(nullif(i.left_at, ''), i.joined))
         WHEN s.clock GLOB '*[-+][0-9][0-9]:[0-9][0-9]' THEN julianday(s.happened || 'T' || s.clock) END AS instant
FROM step_item i JOIN step s ON s.id = i.step;

-- What may wait, from the records alone. A print: fixed or toned, and no wash of more than an instant is surely later.
-- Of two steps of a day, one without a time of day comes after what was entered before it.
CREATE VIEW waiting_now AS
SELECT 'wash' AS what, f.item AS id FROM step_place f JOIN item t ON t.id = f.item AND t.kind = 'print'
WHERE f.kind IN ('fix', 'tone') AND NOT EXISTS (SELECT 1 FROM step_place w WHERE w.item = f.item AND w.kind = 'wash'
    AND (w.left_at = '' OR (julianday(w.left_at) - julianday(w.joined)) * 86400 > 1.5)
    AND CASE WHEN w.timed THEN (w.day, w.instant, w.step) > (f.day, f.instant, f.step)
        ELSE (w.day, w.step) > (f.day, f.step) END)
UNION ALL
SELECT 'test', k.id FROM control_strip k WHERE NOT EXISTS (SELECT 1 FROM residual_test r WHERE r.item = k.id)
UNION ALL
SELECT 'payment', s.id FROM transfer s WHERE s.kind = 'sale' AND s.from_party = (SELECT artist FROM catalog)
    AND (s.title = 0 OR s.price IS NULL OR s.price > 0) AND NOT EXISTS (SELECT 1 FROM transfer p WHERE p.settles = s.id)
UNION ALL
SELECT 'edition', e.id FROM edition e WHERE e.state = 'declared' AND EXISTS (SELECT 1 FROM edition_number n
    WHERE n.edition = e.id AND n.kind = 'numbered' AND n.number = e.size AND n.standing IN ('given', 'void'));

INSERT INTO waiting (what, id) SELECT DISTINCT what, id FROM waiting_now;

-- What one row tells: what failed a test, what is not signed, is out, came back, is in the making, or stands open.
CREATE INDEX residual_test_stained ON residual_test(item) WHERE reading IN ('beige', 'yellow-brown');
CREATE INDEX residual_test_value ON residual_test(question, value) WHERE value IS NOT NULL;
CREATE INDEX print_unsigned ON print(edition, id)
    WHERE state = 'living' AND signed = '' AND (kind IS NULL OR kind NOT IN ('work', 'reference', 'CP'));
DROP INDEX standing_owner;
CREATE INDEX standing_owner ON standing(owner, custodian);
CREATE INDEX standing_unplaced ON standing(custodian) WHERE place IS NULL AND custody_transfer IS NOT NULL;
CREATE INDEX negative_in_making ON negative(id) WHERE state IN ('in process', 'drying', 'varnished', 'curing');
DROP INDEX bath_limited;
CREATE INDEX bath_limited ON bath(in_tray, id)
    WHERE capacity IS NOT NULL OR silver_limit IS NOT NULL OR life IS NOT NULL;
CREATE INDEX bath_second ON bath(id) WHERE position <> '';
CREATE INDEX paper_stock ON paper(description COLLATE NOCASE);
CREATE INDEX session_open ON session(id) WHERE entered = '';
CREATE INDEX step_fix ON step(latest) WHERE kind = 'fix';
