"""History: everything that happened to one thing, told in the order of time."""

import json
import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime

from catalog.dates import Moment, parse_date
from catalog.money import Money
from catalog.quantities import format_duration, format_residue, format_temperature
from catalog.records import bath_events, corrections, edition_endings, edition_errata, imports, places
from catalog.records.correction_words import noun, said
from catalog.rules.history_of_hands import hands
from catalog.rules.history_of_printing import printing
from catalog.vocabulary import designation, number_label

NEGATIVE_EVENTS = """SELECT happened, earliest, latest, clock, by, state, note FROM negative_event WHERE negative = ?
    ORDER BY id"""
DESTROYED = "SELECT 1 FROM transfer WHERE item = ? AND kind = 'destruction' AND happened = ?"
STEPS = """SELECT s.happened, s.earliest, s.latest, s.clock, s.by, s.kind,
    coalesce(trim(b.name || ' ' || b.dilution), ''), coalesce(w.name, ''), s.seconds, s.celsius, s.note, i.joined,
    i.left_at, c.code FROM step_item i
    JOIN step s ON s.id = i.step JOIN code c ON c.id = s.id LEFT JOIN bath b ON b.id = s.bath
    LEFT JOIN washer w ON w.id = s.washer WHERE {} = ? ORDER BY s.id"""
ONE_STEP = """SELECT s.happened, s.earliest, s.latest, s.clock, s.by, s.kind,
    (SELECT group_concat(c.code, ', ') FROM step_item i JOIN code c ON c.id = i.item WHERE i.step = s.id), s.note
    FROM step s WHERE s.id = ?1 OR s.bath = ?1 ORDER BY s.id"""
TESTS = """SELECT happened, earliest, latest, clock, by, question, method, reading, value, note FROM residual_test
    WHERE item = ? ORDER BY id"""
MOVES = """SELECT happened, earliest, latest, clock, by, from_place, to_place, why FROM movement WHERE item = ?
    ORDER BY id"""
SIGNER = """(SELECT i.by FROM inscription i WHERE i.print = p.id AND i.signature = 1 ORDER BY i.id DESC LIMIT 1)"""
# Who entered new rows of a table, by the seal of the command: the newest that begins at or before a row.
ENTERED = """SELECT json_extract(j.key, '$[0]'), s.by FROM journal j JOIN journal_seal s ON s.id =
    (SELECT id FROM journal_seal WHERE first <= j.id ORDER BY first DESC LIMIT 1)
    WHERE j.tbl = ? AND j.before IS NULL AND j.key IN (SELECT json_array(value) FROM json_each(?))"""
MADE = """SELECT p.made, p.earliest, p.latest, p.clock, p.printed_by, c.code, e.code FROM print p
    JOIN code c ON c.id = p.negative LEFT JOIN code e ON e.id = p.edition WHERE p.id = ?"""
INSCRIPTIONS = "SELECT happened, by, text, position, medium FROM inscription WHERE print = ? ORDER BY id"
REPLACES = f"SELECT p.signed, {SIGNER}, c.code FROM print p JOIN code c ON c.id = p.replaces WHERE p.id = ?"
REPLACEMENT = f"""SELECT p.signed, {SIGNER}, c.code FROM print p JOIN code c ON c.id = p.id WHERE p.replaces = ?"""
CERTIFICATES = """SELECT c.issued, c.by, code.code, p.code FROM certificate c JOIN code ON code.id = c.id
    JOIN code p ON p.id = c.print WHERE c.print = ?1 OR c.id = ?1 ORDER BY c.id"""
CERTIFICATE_EVENTS = """SELECT e.happened, e.by, code.code, e.event, e.why FROM certificate_event e
    JOIN certificate c ON c.id = e.certificate JOIN code ON code.id = c.id WHERE c.print = ?1 OR c.id = ?1
    ORDER BY e.id"""
PICTURES = "SELECT added, path FROM picture WHERE item = ? ORDER BY id"
EDITION = """SELECT e.declared, e.size, c.code, code.code, e.id FROM edition e JOIN code c ON c.id = e.negative
    JOIN code ON code.id = e.id WHERE e.id = ?1 OR e.negative = ?1 ORDER BY e.id"""
PRICES = "SELECT since, by, amount, currency, from_sale FROM edition_price WHERE edition = ? ORDER BY id"
PROMISES = """SELECT p.promised, p.by, p.kind, p.number, e.numerals, party.name, p.until, p.ended FROM promise p
    JOIN party ON party.id = p.party JOIN edition e ON e.id = p.edition WHERE p.edition = ? ORDER BY p.id"""
SIGNED = f"""SELECT p.signed, {SIGNER}, c.code, p.kind, p.number, e.size, (SELECT count FROM edition_proofs
    WHERE edition = p.edition AND kind = p.kind), e.numerals FROM print p JOIN code c ON c.id = p.id
    JOIN edition e ON e.id = p.edition WHERE p.edition = ? AND p.signed <> '' ORDER BY p.id"""
PRINTED = """SELECT p.made, p.printed_by, c.code, p.id FROM print p JOIN code c ON c.id = p.id WHERE p.negative = ?
    ORDER BY p.id"""
BATH = "SELECT mixed, discarded, name, dilution FROM bath WHERE id = ?"
STRIP = "SELECT made FROM control_strip WHERE id = ?"
UNDONE = """SELECT u.sealed, u.by, s.command, s.sealed FROM journal_seal u JOIN journal_seal s ON s.id = u.undoes
    WHERE EXISTS (SELECT 1 FROM json_each(s.touched) WHERE value = ?1) OR EXISTS (SELECT 1 FROM journal j
    WHERE j.id BETWEEN s.first AND s.last AND j.tbl IN ('code', 'negative', 'edition', 'print', 'bath', 'step',
    'control_strip', 'standing', 'item') AND j.key = json_array(?1)) ORDER BY u.id"""
CLOSED_AT = "SELECT closed_at FROM edition WHERE id = ?"
# A state that no record of its own tells, as before schema 2: from the journal, with the seal that tells when and who.
STATES = """SELECT s.sealed, s.by, j.before, j.after FROM journal j
    JOIN journal_seal s ON j.id BETWEEN s.first AND s.last WHERE j.tbl = 'edition'
    AND j.key = json_array(?) AND j.before IS NOT NULL AND j.after IS NOT NULL
    AND s.undoes IS NULL AND NOT EXISTS (SELECT 1 FROM journal_seal u WHERE u.undoes = s.id) ORDER BY j.id"""


@dataclass(frozen=True)
class Line:
    """One thing that happened: when (in words), who, what; `date` is the EDTF of when."""

    when: str
    who: str
    sentence: str
    date: str


Entry = tuple[Moment, str, str]
Place = tuple[str, str, float, int]
HANDS = 5  # the stage of changes of hands


def history(connection: sqlite3.Connection, identity: int) -> list[Line]:
    """All that happened to one thing, whatever its kind, in time order.

    What has a day and no clock comes after what must have come before it that day: signed after printed and washed.
    Changes of hands keep the order of their chain, however roughly they are dated; the rest is told around them.
    """
    told = [(stage, entry) for stage, tell in TELLERS for entry in tell(connection, identity)]
    placed: list[tuple[Place, Entry]] = []
    last: Place = ("", "", float("-inf"), 0)
    for place, (stage, entry) in zip(_places(told), told, strict=True):
        if stage == HANDS:
            place = last = max(last, place)
        placed.append((place, entry))
    return [
        Line(moment.text() if moment.date else "", who, sentence, moment.date)
        for _, (moment, who, sentence) in sorted(placed, key=lambda one: one[0])
    ]


def _places(told: list[tuple[int, Entry]]) -> Iterator[Place]:
    """Where each entry stands by its date and clock, and, on a day without a clock, by its stage."""
    clocks: dict[tuple[str, str], list[tuple[int, float]]] = {}
    for stage, (moment, _, _) in told:
        first, last, clock = moment.sort_key
        clocks.setdefault((first, last), []).append((stage, clock))
    for stage, (moment, _, _) in told:
        first, last, clock = moment.sort_key
        if moment.instant is None:
            clock = max(other for other_stage, other in clocks[first, last] if other_stage <= stage)
        yield first, last, clock, stage


def _day(edtf: str) -> Moment:
    if not edtf:
        return Moment("", "", "", "")
    date = parse_date(edtf)
    return Moment(date.edtf, date.earliest, date.latest, "")


def _sealed(text: str) -> Moment:
    instant = datetime.fromisoformat(text)
    day = instant.date().isoformat()
    return Moment(day, day, day, text[11:])


def _with(sentence: str, note: str) -> str:
    return f"{sentence}: {note}" if note else sentence


def _entered(connection: sqlite3.Connection, table: str, identities: list[int]) -> dict[int, str]:
    """Identity -> who entered it, where a seal tells that."""
    return dict(connection.execute(ENTERED, (table, json.dumps(identities))).fetchall()) if identities else {}


def beginnings(connection: sqlite3.Connection, identity: int) -> Iterator[Entry]:
    """How a thing came to be: printed, declared, mixed."""
    for *moment, who, negative, edition in connection.execute(MADE, (identity,)):
        who = who or _entered(connection, "print", [identity]).get(identity, "")
        yield Moment(*moment), who, f"printed from {negative}" + (f" for {edition}" if edition else "")
    declared_here = connection.execute(EDITION, (identity,)).fetchall()
    by = _entered(connection, "edition", [row[-1] for row in declared_here])
    for declared, size, negative, code, edition in declared_here:
        yield (
            _day(declared),
            by.get(edition, ""),
            f"edition {code} of {negative} declared: {f'{size} numbered' if size else 'open'}",
        )
    for mixed, discarded, name, dilution in connection.execute(BATH, (identity,)):
        by = _entered(connection, "bath", [identity])
        yield _day(mixed), by.get(identity, ""), f"mixed: {name} {dilution}".rstrip()
        if discarded:
            yield _day(discarded), "", "discarded"
    for done in bath_events.events_of(connection, identity):
        yield done.moment, done.by, done.told()
    for (made,) in connection.execute(STRIP, (identity,)):
        yield _day(made), _entered(connection, "control_strip", [identity]).get(identity, ""), "control strip made"
    printed = connection.execute(PRINTED, (identity,)).fetchall()
    by = _entered(connection, "print", [row[-1] for row in printed])
    for made, who, code, print_ in printed:
        yield _day(made), who or by.get(print_, ""), f"{code} printed from it"


def states(connection: sqlite3.Connection, identity: int) -> Iterator[Entry]:
    """The states of a negative; that it was destroyed is told as the change of hands that it is."""
    for *moment, who, state, note in connection.execute(NEGATIVE_EVENTS, (identity,)):
        if state == "destroyed" and connection.execute(DESTROYED, (identity, moment[0])).fetchone():
            continue
        yield Moment(*moment), who, _with(state, note)


def process(connection: sqlite3.Connection, identity: int) -> Iterator[Entry]:
    """Steps an item went through; of a bath or a step, what went through it."""
    for row in connection.execute(STEPS.format("i.item"), (identity,)):
        *moment, who, kind, bath, washer, seconds, celsius, note, joined, left, code = row
        details = [
            bath,
            washer,
            format_duration(seconds) if seconds else "",
            format_temperature(celsius) if celsius is not None else "",
        ]
        if joined:
            details.append(f"in {joined[11:16]}" + (f", out {left[11:16]}" if left else ", not out yet"))
            if joined[:10] == row[0]:
                moment[3] = joined[11:]
        told = ", ".join(part for part in details if part)
        yield Moment(*moment), who, _with(f"{kind} ({code})" + (f", {told}" if told else ""), note)
    for *moment, who, kind, things, note in connection.execute(ONE_STEP, (identity,)):
        yield Moment(*moment), who, _with(f"{kind} of {things}" if things else kind, note)


def tests(connection: sqlite3.Connection, identity: int) -> Iterator[Entry]:
    """Residual tests made on it."""
    for *moment, who, question, method, reading, value, note in connection.execute(TESTS, (identity,)):
        result = reading or format_residue(value)
        yield Moment(*moment), who, _with(f"tested for {question} by {method}, {result}", note)


def keeping(connection: sqlite3.Connection, identity: int) -> Iterator[Entry]:
    """Movements and pictures."""
    for *moment, who, start, end, why in connection.execute(MOVES, (identity,)).fetchall():
        start_text = f"from {places.path_of(connection, start)} " if start else ""
        yield Moment(*moment), who, _with(f"moved {start_text}to {places.path_of(connection, end)}", why)
    for added, path in connection.execute(PICTURES, (identity,)):
        yield _day(added), "", f"picture kept: {path}"


def names(connection: sqlite3.Connection, identity: int) -> Iterator[Entry]:
    """Signatures and other inscriptions, replacements; of an edition its prices, promises and signed prints."""
    for happened, who, text, position, medium in connection.execute(INSCRIPTIONS, (identity,)):
        where = ", ".join(filter(None, (position, medium)))
        yield _day(happened), who, f"{text} ({where})" if where else text
    for signed, who, code in connection.execute(REPLACEMENT, (identity,)):
        yield _day(signed), who or "", f"its number passed to {code}, which replaces it"
    for signed, who, code in connection.execute(REPLACES, (identity,)):
        yield _day(signed), who or "", f"replaces {code}, which was destroyed, and bears its number"
    for since, who, amount, currency, from_sale in connection.execute(PRICES, (identity,)):
        later = f" from sale {from_sale} on" if from_sale > 1 else ""
        yield _day(since), who, f"price {Money(amount, currency).text()}{later}"
    for promised, who, kind, number, numerals, party, until, ended in connection.execute(PROMISES, (identity,)):
        label = number_label(kind, number, numerals)
        yield (
            _day(promised),
            who,
            (
                f"{label} promised to {party}"
                + (f" until {parse_date(until).text()}" if until else "")
                + (f", {ended}" if ended else "")
            ),
        )
    for signed, who, code, kind, number, size, proofs, numerals in connection.execute(SIGNED, (identity,)):
        yield _day(signed), who or "", f"{code} signed as {designation(kind, number, size, proofs, numerals)}"
    for one in edition_errata.errata(connection, identity):
        yield _day(one.happened), one.by, f"erratum: {one.text}"


def ended(connection: sqlite3.Connection, identity: int) -> Iterator[Entry]:
    """How an edition ended."""
    endings = edition_endings.endings(connection, identity)
    for one in endings:
        fate = f", the negative {one.fate}" if one.fate else ""
        at = connection.execute(CLOSED_AT, (identity,)).fetchone()[0] if one.state == "closed early" else None
        yield _day(one.happened), one.by, _with(f"edition {one.state}{f' at {at}' if at else ''}{fate}", one.note)
    for sealed, who, before, after in [] if endings else connection.execute(STATES, (identity,)):
        now, then = json.loads(after), json.loads(before)
        if now["state"] != then["state"]:
            at = f" at {now['closed_at']}" if now["closed_at"] else ""
            yield _sealed(sealed), who, f"edition {now['state']}{at}"


def papers_issued(connection: sqlite3.Connection, identity: int) -> Iterator[Entry]:
    """Certificates and what became of them."""
    for issued, who, code, print_ in connection.execute(CERTIFICATES, (identity,)):
        yield _day(issued), who, f"certificate {code} issued for {print_}"
    for happened, who, code, event, why in connection.execute(CERTIFICATE_EVENTS, (identity,)):
        yield _day(happened), who, _with(f"certificate {code} {event}", why)


def set_right(connection: sqlite3.Connection, identity: int) -> Iterator[Entry]:
    """Corrections, and commands that were taken back."""
    for one in corrections.of(connection, identity):
        before, after = said(one.field, one.before or ""), said(one.field, one.after or "")
        yield _day(one.happened), one.by, f"{noun(one.field)} corrected from “{before}” to “{after}”: {one.why}"
    for sealed, who, command, done in connection.execute(UNDONE, (identity,)):
        yield _sealed(sealed), who, f"“{command}” of {_sealed(done).text()} taken back"


def imported(connection: sqlite3.Connection, identity: int) -> Iterator[Entry]:
    """The row of a list that it came from, with what no field took."""
    for row in imports.of_code(connection, identity):
        kept = "; ".join(f"{heading}: {row.cells[heading]}" for heading in row.notes if heading in row.cells)
        yield _day(row.happened), row.by, _with(f"brought in from {row.file}, row {row.line}", kept)


# each with its stage, the order in which things of one day must have come
TELLERS: tuple[tuple[int, Callable[[sqlite3.Connection, int], Iterator[Entry]]], ...] = (
    (0, beginnings),
    (1, states),
    (1, process),
    (2, tests),
    (2, printing),
    (3, names),
    (4, keeping),
    (HANDS, hands),
    (6, papers_issued),
    (6, ended),
    (7, imported),
    (7, set_right),
)
