"""Whether certificates still say what the record says: every public fact as it was frozen, beside what it is now."""

import os
import sqlite3
from collections.abc import Iterator, Mapping
from typing import Any

from catalog.records import certificates
from catalog.records.certificates import Certificate
from catalog.records.items import shorten
from catalog.rules.checks.findings import Finding, Subject
from catalog.rules.print_facts import public_facts_of
from catalog.vocabulary import GRADES

DESTROYED = "SELECT id FROM print WHERE state = 'destroyed'"
# What goes on of itself after a certificate is issued, and makes it no less true of its day.
MOVES_ON = frozenset({
    ("print", "word"), ("negative", "state"), ("negative", "state_since"),
    ("edition", "state"), ("edition", "ended"), ("edition", "closed_at"), ("edition", "total"), ("edition", "errata"),
})  # fmt: skip
LIFE = ("artist", "life")  # moves on where the year of the death was added, and not where a year is another one
OTHER_MOVES_ON = frozenset({"state", "ended", "errata", "statement"})
LABELS = {("edition", "size"): "edition size", ("signed", "on"): "signed on"}
# fact -> those of the same part that tell it already where they differ too
TOLD_BY = {
    "total": ("size", "closed_at", "proofs"), "state_since": ("state",), "ended": ("state",), "closed_at": ("state",),
}  # fmt: skip
MOST_SAID, BEFORE = 60, 16  # signs of a fact that are told, and of those before the first that differs

Change = tuple[bool, str]  # whether it moves on of itself, and in words


def certificates_agree(subject: Subject) -> Iterator[Finding]:
    """Whether the certificates that stand say what the record says by now."""
    standing = [one for one in certificates.listed(subject.connection) if one.standing == "valid"]
    moved_on: dict[str, list[Certificate]] = {}
    facts = public_facts_of(subject.connection, [one.print_id for one in standing])
    for issued, now in zip(standing, facts, strict=True):
        found = list(changes(issued.public, now))
        later = [said for moves, said in found if moves]
        if later:
            moved_on.setdefault("; ".join(later), []).append(issued)
        wrong = [said for moves, said in found if not moves]
        if wrong:
            yield Finding(
                "warning",
                issued.code,
                f"{issued.code} for {issued.print_code} says {'; '.join(wrong)}. It is never edited: supersede it "
                f"(tirage certificate issue {issued.print_code} --supersedes {issued.code}) or revoke it.",
            )
    for said, those in moved_on.items():
        codes = [one.code for one in those]
        verb = "says" if len(codes) == 1 else "say"
        yield Finding(
            "note",
            codes[0] if len(codes) == 1 else "",
            f"{shorten(codes)} {verb} {said}. This came after the paper, which is right for its day.",
        )


def contradicted(connection: sqlite3.Connection, issued: Certificate) -> list[str]:
    """What a certificate says and the record does not any more, in words; what moves on of itself is not among it."""
    (now,) = public_facts_of(connection, [issued.print_id])
    return [said for moves, said in changes(issued.public, now) if not moves]


def certificates_of_the_destroyed(subject: Subject) -> Iterator[Finding]:
    """Certificates that stand though their print is destroyed."""
    destroyed = {row[0] for row in subject.connection.execute(DESTROYED)}
    for issued in certificates.listed(subject.connection) if destroyed else ():
        if issued.standing == "valid" and issued.print_id in destroyed:
            yield Finding(
                "warning",
                issued.code,
                f"{issued.print_code} is destroyed and its certificate {issued.code} is still valid; revoke it: "
                f"tirage certificate revoke {issued.code} --why REASON.",
            )


def changes(then: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[Change]:
    """What differs between frozen facts and those of now; what either does not hold is not compared."""
    for part, value in now.items():
        if part not in then or then[part] == value:
            continue
        stated = then[part]
        if part == "evidence":
            yield from _evidence(stated, value)
        elif part == "other_editions":
            yield from _others(stated, value)
        elif isinstance(stated, dict) and isinstance(value, dict):
            for name in _differing(stated, value):
                label = LABELS.get((part, name)) or _label(part, name)
                moves = (part, name) in MOVES_ON or ((part, name) == LIFE and _died(stated[name], value[name]))
                yield moves, _words(label, stated[name], value[name])
        else:
            yield False, _words({"differs": "what differs from the edition"}.get(part, part), stated, value)


def _differing(then: Mapping[str, Any], now: Mapping[str, Any]) -> list[str]:
    """The facts in which two parts differ, without those that another one of these tells already."""
    names = [name for name in now if name in then and then[name] != now[name]]
    return [name for name in names if not set(TOLD_BY.get(name, ())) & set(names)]


def _died(then: str, now: str) -> bool:
    """Whether all that years of life, such as “[1971–]”, gained is the year of the death."""
    before, after = (text.strip("[]").partition("–") for text in (then, now))
    return not before[2] and bool(after[2]) and before[0] == after[0]


def _label(part: str, name: str) -> str:
    name = name.replace("_", " ")
    return name if part == "print" else f"{part} {name}"


def _evidence(then: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[Change]:
    """Evidence moves on where it became better or is told more closely; worse, or in doubt since, it is a warning."""
    for question in [name for name in now if isinstance(now[name], dict) and name in then]:
        before, after = then[question], now[question]
        if before == after:
            continue
        better = GRADES.index(before["grade"]) - GRADES.index(after["grade"])
        doubts = [doubt for doubt in after["doubts"] if doubt not in before["doubts"]]
        if better < 0 or (better == 0 and doubts):
            yield False, _words(f"{question} left", before["sentence"], " ".join([after["sentence"], *doubts]))
        else:
            yield True, _words(f"{question} left", before["sentence"], after["sentence"])


def _others(then: list[Mapping[str, Any]], now: list[Mapping[str, Any]]) -> Iterator[Change]:
    """Editions of the same image beside its own: those declared later, and what became of the others."""
    stated = {one["code"]: one for one in then}
    for one in now:
        before = stated.pop(one["code"], None)
        if before is None:
            yield True, f"nothing of {one['code']}, which was declared later"
            continue
        for name in _differing(before, one):
            label = f"of {one['code']}: {name.replace('_', ' ')}"
            yield name in OTHER_MOVES_ON, _words(label, before[name], one[name])
    for code in stated:
        yield False, f"that there is {code} of the same image, now none"


def _words(label: str, then: Any, now: Any) -> str:
    before, after = _said(then), _said(now)
    start = 0
    if max(len(before), len(after)) > MOST_SAID:  # told from where they differ on, with a word or two before it
        same = len(os.path.commonprefix([before, after]))
        start = before.rfind(" ", 0, max(same - BEFORE, 0)) + 1
    return f"{label} “{_cut(before, start)}”, now “{_cut(after, start)}”"


def _cut(text: str, start: int) -> str:
    told = f"…{text[start:]}" if start else text
    return told if len(told) <= MOST_SAID else f"{told[: MOST_SAID - 1]}…"


def _said(value: Any) -> str:
    """A fact as text."""
    if isinstance(value, dict):
        value = " ".join(_said(part) for part in value.values() if part not in ("", None))
    elif isinstance(value, list):
        value = " × ".join(map(str, value)) if value and isinstance(value[0], int) else "; ".join(map(_said, value))
    return "nothing" if value in ("", None) else str(value)
