"""Whether what is dated can have happened in that order: events of baths, recipes, densities, tests, sessions."""

from collections.abc import Iterator

from catalog.rules.checks.findings import Finding, Subject, day

# Each row: the code it is told under, what it is, its date, and in words what it came too early or too late for.
# A date that is not exact counts only where all of it is on the wrong side.
BATH_EVENTS = """SELECT c.code, 'bath ' || c.code || ' was ' || v.kind, v.happened,
    CASE WHEN v.latest <> '' AND b.earliest > v.latest THEN 'before it was mixed' ELSE 'after it was poured away' END,
    CASE WHEN v.latest <> '' AND b.earliest > v.latest THEN b.mixed ELSE b.discarded END
    FROM bath_event v JOIN bath b ON b.id = v.bath JOIN code c ON c.id = b.id
    WHERE (v.latest <> '' AND b.earliest > v.latest) OR (length(b.discarded) = 10 AND v.earliest > b.discarded)"""
RECIPES = """SELECT c.code, 'the recipe of ' || c.code, r.happened, 'before that print was made', p.made
    FROM recipe r JOIN print p ON p.id = r.print JOIN code c ON c.id = p.id
    WHERE r.latest <> '' AND p.earliest > r.latest"""
MADE = """(SELECT id, made, earliest, 'print' AS what FROM print UNION ALL
    SELECT id, made, earliest, 'plate' FROM negative UNION ALL
    SELECT id, made, made, 'strip' FROM control_strip WHERE length(made) = 10)"""
DENSITIES = f"""SELECT DISTINCT c.code, 'a density of ' || c.code, d.happened,
    'before that ' || m.what || ' was made', m.made
    FROM density d JOIN {MADE} m ON m.id = d.item JOIN code c ON c.id = d.item
    WHERE d.latest <> '' AND m.earliest > d.latest"""
TESTS = f"""SELECT DISTINCT c.code, 'a residual test of ' || c.code, t.happened,
    'before that ' || m.what || ' was made', m.made
    FROM residual_test t JOIN {MADE} m ON m.id = t.item JOIN code c ON c.id = t.item
    WHERE t.latest <> '' AND m.earliest > t.latest"""
SESSIONS = """SELECT c.code, 'session ' || s.id || ' with ' || c.code, s.planned, 'before that plate was made', n.made
    FROM session s JOIN negative n ON n.id = s.negative JOIN code c ON c.id = n.id
    WHERE n.earliest <> '' AND length(s.planned) = 10 AND n.earliest > s.planned"""


def events_in_order(subject: Subject) -> Iterator[Finding]:
    """Dates of what was done to a thing that lie before it was there, or after it was gone."""
    for question in (BATH_EVENTS, RECIPES, DENSITIES, TESTS, SESSIONS):
        for code, what, happened, wrong, then in subject.connection.execute(question).fetchall():
            sentence = f"{what} is dated {day(happened)}, {wrong} ({day(then)}); one of the two is not right."
            yield Finding("warning", code, sentence[:1].upper() + sentence[1:])
