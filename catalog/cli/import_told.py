"""What came of a list that is brought in, as a person reads it and as records."""

import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from catalog.cli.desk import Desk

if TYPE_CHECKING:
    from catalog.exchange.importing.frame import Told
    from catalog.exchange.importing.plan import Plan

CODED = ("negatives", "prints", "editions")
SHOWN = 12  # rows of a table that a person looks over; --json and --csv give all
TOLD = 40  # lines of a kind
MOST_RUNS, MOST_TEXTS = 8, 3  # of rows, and of cells, that share a line
LAST_AT_MOST = 1_000  # things that `last` can mean afterwards
DIGITS = re.compile(r"[0-9]+")


def tell(desk: Desk, plan: "Plan", adding: bool) -> None:
    """What came of every row."""
    if desk.output:
        desk.show(list(_records(plan, adding)))
        return
    if not adding:
        desk.say(f"{plan.table.name}: {rows_of(len(plan.table.lines))} below the headings, read as {plan.noun}.")
        taken = {place: name for name, place in plan.layout.fields.items()}
        width = max(map(len, plan.layout.headings))
        others = {True: "left out", False: "kept as notes"}
        for place, heading in enumerate(plan.layout.headings):
            desk.say(f"  {heading:<{width}}  {taken.get(place) or others[place in plan.layout.unkept]}")
    for line in plan.said:
        desk.say(line)
    for kind, told in _grouped(plan):
        desk.say(f"\n{kind.capitalize()}:")
        desk.show(told[:TOLD])
        if len(told) > TOLD:
            desk.say(f"... and {len(told) - TOLD:,} more; --csv lists them all.")
    if plan.new and not adding:
        desk.say(
            "\nTo be added:" if len(plan.new) <= SHOWN else f"\nTo be added, the first {SHOWN} of {len(plan.new):,}:"
        )
        desk.show([
            {"row": row.line, **({"code": row.code} if plan.noun in CODED else {}), **plan.previews[row.line]}
            for row in plan.new[:SHOWN]
        ])  # fmt: skip
    if not adding:
        desk.say(f"\n{summary(plan)}.")


def summary(plan: "Plan") -> str:
    """How many rows came to what."""
    doubtful, noted, refused = plan.count("doubtful"), plan.count("kept as note"), len(plan.refused)
    belong = len(plan.added) - len(plan.new)
    return "; ".join(
        filter(
            None,
            (
                f"{len(plan.new):,} to be added",
                f"{rows_of(belong)} of {plan.noun} that are there" if belong else "",
                f"{rows_of(len(plan.there))} there already" if plan.there else "",
                f"{ways(plan.reached)} {plan.noun} that are there to be added" if plan.reached else "",
                f"{rows_of(doubtful)} doubtful" if doubtful else "",
                f"{rows_of(noted)} with cells kept as notes" if noted else "",
                f"{rows_of(refused)} refused" if refused else "",
            ),
        )
    )


def counted(plan: "Plan") -> str:
    """How many were new, with their codes where these are few."""
    from catalog.records.items import shorten

    count = len(plan.new)
    if not count:
        return f"no {plan.one}"
    told = count <= LAST_AT_MOST and plan.noun in CODED
    codes = f" ({shorten([row.code for row in plan.new])})" if told else ""
    return f"{count:,} {plan.one if count == 1 else plan.noun}{codes if len(codes) < 120 else ''}"


def ways(count: int) -> str:
    """So many ways to reach somebody that a list brings to who is there."""
    return f"{count:,} way{'' if count == 1 else 's'} to reach"


def rows_of(count: int, verb: str = "") -> str:
    """So many rows: “1 row”, “3 rows”; with the verb “are” “1 row is”."""
    if count == 1:
        return "1 row is" if verb else "1 row"
    return f"{count:,} rows {verb}".rstrip()


def _grouped(plan: "Plan") -> "Iterator[tuple[str, list[dict[str, object]]]]":
    """What is told, worst first; what is alike but for the cell in one line."""
    from catalog.exchange.importing.frame import DOUBTFUL, NOTE, REFUSED

    for kind in (REFUSED, DOUBTFUL, NOTE):
        alike: dict[tuple[str, str], list[Told]] = {}
        for one in plan.told:
            if one.kind == kind:
                form = one.reason.replace(f"“{one.text}”", "“”") if one.text else one.reason
                # A number matters to whoever mends a refused row; else it is mostly that of the cell.
                form = form if kind == REFUSED else DIGITS.sub("#", form)
                alike.setdefault((one.heading, form), []).append(one)
        if alike:
            yield kind, [_folded(heading, told) for (heading, _), told in alike.items()]


def _folded(heading: str, told: "Sequence[Told]") -> dict[str, object]:
    """Several cells of a column of which the same is told, as one line."""
    reason = told[0].reason
    if any(one.reason != reason for one in told):
        reason = f"{reason.rstrip('.')} (row {told[0].line}; the others alike)"
    texts = list(dict.fromkeys(_short(one.text) for one in told))
    more = f" and {len(texts) - MOST_TEXTS:,} more" if len(texts) > MOST_TEXTS else ""
    return {
        "row": runs([one.line for one in told]),
        "column": heading,
        "text": ", ".join(texts[:MOST_TEXTS]) + more,
        "why": reason,
    }


def runs(lines: Sequence[int]) -> str:
    """Rows as a person lists them: “2, 3, 5 to 40”."""
    found: list[list[int]] = []
    for line in sorted(set(lines)):
        if found and line == found[-1][-1] + 1:
            found[-1][1:] = [line]
        else:
            found.append([line])
    told = [
        str(one[0]) if len(one) == 1 else f"{one[0]}{', ' if one[1] == one[0] + 1 else ' to '}{one[1]}" for one in found
    ]
    left = len({*lines}) - sum(one[-1] - one[0] + 1 for one in found[:MOST_RUNS])
    return ", ".join(told[:MOST_RUNS]) + (f" and {left:,} more" if left else "")


def _records(plan: "Plan", adding: bool) -> "Iterator[dict[str, object]]":
    """Every row, and everything that is told, as records that share their keys."""
    codes = {row.line: row.code for row in plan.added}
    outcome = "added" if adding else "would be added"
    for row in plan.added:
        read = "; ".join(f"{name}: {text}" for name, text in plan.previews.get(row.line, {}).items() if text)
        yield _record(row.line, "belongs to one there" if row.merged else outcome, row.code, "", "", read)
    for row in plan.there:
        yield _record(row.line, "there already", "", "", "", "the same row was imported before")
    for one in plan.told:
        yield _record(one.line, one.kind, codes.get(one.line, ""), one.heading, one.text, one.reason)
    for line in plan.said:
        yield _record(0, "file", "", "", "", line)


def _record(row: int, outcome: str, code: str, column: str, text: str, told: str) -> dict[str, object]:
    return {"row": row, "outcome": outcome, "code": code, "column": column, "text": text, "told": told}


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "…"
