"""Claims: what a test or a grade lets a person say of a print, and what it does not show."""

import sqlite3
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from catalog.quantities import format_residue
from catalog.records import items, settings
from catalog.records.items import Coded
from catalog.records.residuals import Test
from catalog.rules.tested import CLEAN, Tested
from catalog.vocabulary import EXTRACT_METHODS

if TYPE_CHECKING:
    from catalog.rules.evidence import Evidence


class Claim(NamedTuple):
    """What may be said, which goes on after “that”, and what it does not show, a clause of its own.

    `on_strip`: it rests on a clean test of a strip that went along.
    """

    may: str
    limit: str
    on_strip: bool = False


ON_STRIP = " on the strip that went with it"
ALIKE = "that each print is alike: edges and stacking differ"
_NUMBER = Claim(
    "this figure was found{on}, beside the target that is named",
    "it does not show how many years the image lasts",
)
_STAINED = "which substance it was is not told: thiosulfate, a silver complex and a polythionate stain alike"
# Scopes of the methods: ISO 18917 (its scope was read). Drops and titration: common practice, no standard; the drop
# that hides small amounts and the extract that leaves some in the paper: practitioners, and Abney and Robinson 1881.
# {on} is where it was found, where that was not the print itself.
CLAIMS_OF_METHOD = {
    "clean drop": Claim(
        "no stain was seen{on}, on one spot, with one reagent, once",
        "it gives no amount and does not make the print archival",
    ),
    "clean drops": Claim("the processing of this load was in control", f"it does not show {ALIKE}"),
    "stained drop": Claim(
        "a stain was seen{on}, so it needs refixing or rewashing, and what shared its baths is in doubt", _STAINED
    ),
    "methylene blue": Claim(_NUMBER.may, f"{_NUMBER.limit}; nor does it hold for paper with a developing agent in it"),
    "iodine-amylose": _NUMBER,
    "laboratory": _NUMBER,
    "silver densitometric": Claim(
        "so much thiosulfate was found{on}, polythionates and the like counted with it",
        "it does not show that it is thiosulfate alone",
    ),
    "iodine titration": Claim(
        "the extract took up so much iodine, reckoned as thiosulfate",
        "it does not show that it is thiosulfate alone, as sulfite of a wash aid takes up iodine too; nor that nothing "
        "stayed in the sheet",
    ),
}
_NOT_SINCE = "and it was not tested since it was washed or treated again", "what is left now is not known"
# What rests on a test says what its method says. The rest is derived here: no record proves more than it holds.
CLAIMS_OF_GRADE = {
    "by proven routine": Claim(
        "it was worked the same way as pieces that tested clean",
        "it was not tested itself, and this gives no amount and does not make the print archival",
    ),
    "recorded": Claim("it was fixed and washed as recorded", "it is not shown to be clean, as no test counts for it"),
    "unrecorded": Claim("it went through what is recorded", "it is not shown that it was fixed and washed in full"),
    "failed": Claim(
        "more was found{on} than the target that is named, and what shared its baths is in doubt",
        "it does not show that the image will fade: a target is no limit of life",
    ),
}
RETEST_DUE = {
    "stained": Claim(f"a stain was seen{{on}}, {_NOT_SINCE[0]}", _NOT_SINCE[1]),
    "over": Claim(f"more was found{{on}} than the target that is named, {_NOT_SINCE[0]}", _NOT_SINCE[1]),
}
# What a grade means, beside a print that bears it.
GRADES_MEAN = {
    "measured": "a figure was found after the last bath, at or under the target named with it",
    "spot-tested": "a drop of reagent after the last bath left no stain that was seen",
    "by proven routine": "it was fixed and washed in a set way whose newest tests were clean, and not tested itself",
    "recorded": "fixing and washing are on record, and no test counts",
    "unrecorded": "fixing or washing is not on record",
    "failed": "a test stained or was over its target, and no clean one came since",
}


def claim(grade: str, test: Tested | None = None, retest_due: bool = False) -> Claim:
    """What may be said at a grade, and what it does not show. `test` is the one that it rests on.

    `retest_due`: the test failed, and the print was washed or treated since.
    """
    if test is None:
        return _itself(CLAIMS_OF_GRADE[grade])
    drop = test.test.value is None
    if grade == "failed" and retest_due:
        found = RETEST_DUE["stained" if drop else "over"]
    elif grade == "failed":
        found = CLAIMS_OF_METHOD["stained drop"] if drop else CLAIMS_OF_GRADE["failed"]
    else:
        method = "clean drop" if drop else test.test.method
        found = CLAIMS_OF_METHOD.get(method, CLAIMS_OF_METHOD["laboratory"])
    if test.on_strip:
        return Claim(found.may.format(on=ON_STRIP), found.limit, grade != "failed")
    return _itself(found)


def _itself(found: Claim) -> Claim:
    """A claim of the very thing that was tested."""
    return found._replace(may=found.may.format(on=""))


def claim_lines(hypo: Claim, silver: Claim) -> list[str]:
    """What may be said of a print and what not, a sentence each: one for both questions where it is the same."""
    told = [("Of both it", hypo)] if hypo == silver else [("Of hypo it", hypo), ("Of silver it", silver)]
    lines = [_sentence(whom, said) for whom, said in told]
    if hypo.on_strip or silver.on_strip:
        lines.append(f"What rests on a strip does not show {ALIKE}.")
    return lines


def _sentence(whom: str, said: Claim) -> str:
    return f"{whom} may be said that {said.may}; {said.limit}."


# The paper that a calibration was made of and that of the piece tested, where both are known and differ.
OTHER_PAPER = """SELECT c.name, p.name, q.name FROM calibration c JOIN paper p ON p.id = c.paper
    JOIN paper q ON q.id IN (SELECT paper FROM control_strip WHERE id = ?2 UNION SELECT paper FROM print WHERE id = ?2)
    WHERE c.id = ?1 AND p.id <> q.id"""


def after_test(
    connection: sqlite3.Connection,
    item: Coded,
    made: Sequence[Test],
    all_of_it: Sequence[Test],
    prints: Mapping[Coded, "Evidence"],
) -> list[str]:
    """What to tell after tests of one item: how each value stands to its target, and what may be said.

    `prints` are those that the tests might count for, with what is known of them now.
    """
    lines = []
    for test in made:
        if test.value is not None:
            lines.append(standing(connection, item, test))
        for name, theirs, ours in connection.execute(OTHER_PAPER, (test.calibration, item.id)):
            lines.append(
                f"Mind: “{name}” was made of {theirs}, and {item.code} is {ours}; a stain reads otherwise on it."
            )
        if mixed := _other_methods(test, all_of_it):
            lines.append(mixed)
    without = _counts_not_for(connection, made, prints)
    counts = any(one.hypo.grade in CLEAN and one.silver.grade in CLEAN for one in prints.values())
    said = dict.fromkeys(_itself(CLAIMS_OF_METHOD[name]) for name in _kinds(made, counts))
    lines += [_sentence("It", found) for found in said]
    return lines + [f"It does not count for {items.shorten(those)}{why}." for why, those in without.items()]


def _counts_not_for(
    connection: sqlite3.Connection, made: Sequence[Test], prints: Mapping[Coded, "Evidence"]
) -> dict[str, list[Coded]]:
    """Why a clean test does not count for prints near it -> those prints."""
    asked = {test.question for test in made if _is_clean(connection, test)}
    found: dict[str, list[Coded]] = {}
    for one, evidence in prints.items():
        answers = [answer for answer in (evidence.hypo, evidence.silver) if answer.question in asked]
        if any(answer.grade not in (*CLEAN, "failed") for answer in answers):
            dirty = any(stop.startswith(("It is still in the wash", "It is unwashed")) for stop in evidence.stops)
            why = ": wash first, and test again after that" if dirty else "; tirage print show says why"
            found.setdefault(why, []).append(one)
    return found


def _is_clean(connection: sqlite3.Connection, test: Test) -> bool:
    if test.value is None:
        return test.reading == "none"
    target = settings.residue_target(connection, test.question)
    return target is not None and test.value <= target and test.method not in EXTRACT_METHODS


def standing(connection: sqlite3.Connection, item: Coded, test: Test) -> str:
    """One value beside the target set here; of a plate, beside the limit for film."""
    assert test.value is not None
    found = f"{test.question.capitalize()} {format_residue(test.value)} ({test.method})"
    if item.kind == "negative":
        if test.question != "hypo":
            return f"{found}: kept as data; no limit for silver left in a plate was found."
        from catalog.formulas.residue import FILM_LIMIT  # not loaded by commands that only read

        assert FILM_LIMIT.value is not None
        return (
            f"{found}: {_beside(test.value, FILM_LIMIT.value)} the figure of {FILM_LIMIT.source}, which limits "
            f"{FILM_LIMIT.material} to {format_residue(FILM_LIMIT.value)}; no limit for a collodion plate was found."
        )
    target = settings.residue_target(connection, test.question)
    if target is None:
        return f"{found}: kept as data; no target for {test.question} is set."
    basis = next(one.basis for one in settings.settings(connection) if one.name == f"{test.question}-target")
    return f"{found}: {_beside(test.value, target)} the target set here, {format_residue(target)} ({basis})."


def _beside(value: int, limit: int) -> str:
    return "over" if value > limit else "at" if value == limit else "under"


def _other_methods(test: Test, all_of_it: Sequence[Test]) -> str:
    """That earlier values were got by other methods, which do not measure the same."""
    others = {
        each.method: None
        for each in all_of_it
        if each.id < test.id and each.question == test.question and each.value is not None
        and each.method != test.method
    }  # fmt: skip
    if test.value is None or not others:
        return ""
    return (
        f"Mind: earlier values for {test.question} on it are by {', '.join(others)}; methods do not measure the same, "
        f"so these figures are not to be compared with it."
    )


def _kinds(made: Sequence[Test], counts: bool) -> list[str]:
    """The rows of the table that these tests call for; drops for both questions, all clean, that count for a print
    have one of their own."""
    drops = [test for test in made if test.value is None]
    stained = [test for test in drops if test.reading != "none"]
    names = [test.method for test in made if test.value is not None]
    if stained:
        names.append("stained drop")
    elif counts and {test.question for test in drops} == {"hypo", "silver"}:
        names.append("clean drops")
    elif drops:
        names.append("clean drop")
    return names
