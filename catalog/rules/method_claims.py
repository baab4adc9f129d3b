"""What a residual test lets one say and what not, by its method, and how its value stands to the target."""

import sqlite3
from collections.abc import Sequence
from typing import NamedTuple

from catalog.quantities import format_residue
from catalog.records import settings
from catalog.records.items import Coded
from catalog.records.residuals import Test


class Claim(NamedTuple):
    """What may be said, and what not; both go on after “that”."""

    may: str
    may_not: str


_NUMBER = Claim(
    "so much was found, beside a limit that is named", "the image withstands oxidants, or lasts so many years"
)
# Scopes of the methods: ISO 18917 (its scope was read). Drops and titration: common practice, no standard; the drop
# that hides small amounts and the extract that leaves some in the paper: practitioners, and Abney and Robinson 1881.
CLAIMS_OF_METHOD = {
    "clean drop": Claim(
        "no stain was seen on this spot, with this reagent, this time", "so much is left, or that it is archival"
    ),
    "clean drops": Claim(
        "the processing of this load was in control", "each print of it is alike: edges and stacking differ"
    ),
    "stained drop": Claim(
        "it needs refixing or rewashing, and what shared its baths is in doubt",
        "it is one substance: thiosulfate, a silver complex and a polythionate stain alike",
    ),
    "methylene blue": Claim(_NUMBER.may, f"{_NUMBER.may_not}; nor anything of paper with a developing agent in it"),
    "iodine-amylose": _NUMBER,
    "laboratory": _NUMBER,
    "silver densitometric": Claim(
        "so much thiosulfate was found, polythionates and the like counted with it", "it is thiosulfate alone"
    ),
    "iodine titration": Claim(
        "the extract took up so much iodine, reckoned as thiosulfate",
        "it is thiosulfate alone: sulfite of a wash aid takes up iodine too; nor that nothing stayed in the sheet",
    ),
}


# The paper that a calibration was made of and that of the piece tested, where both are known and differ.
OTHER_PAPER = """SELECT c.name, p.name, q.name FROM calibration c JOIN paper p ON p.id = c.paper
    JOIN paper q ON q.id IN (SELECT paper FROM control_strip WHERE id = ?2 UNION SELECT paper FROM print WHERE id = ?2)
    WHERE c.id = ?1 AND p.id <> q.id"""


def after_test(
    connection: sqlite3.Connection, item: Coded, made: Sequence[Test], all_of_it: Sequence[Test]
) -> list[str]:
    """What to tell after tests of one item: how each value stands to its target, and what may be said."""
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
    claims: dict[Claim, None] = {}
    for name in _kinds(made):
        claims.setdefault(CLAIMS_OF_METHOD[name])
    lines += [f"It may be said that {claim.may}; not that {claim.may_not}." for claim in claims]
    return lines


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


def _kinds(made: Sequence[Test]) -> list[str]:
    """The rows of the table that these tests call for; drops for both questions, all clean, have one of their own."""
    drops = [test for test in made if test.value is None]
    stained = [test for test in drops if test.reading != "none"]
    names = [test.method for test in made if test.value is not None]
    if stained:
        names.append("stained drop")
    elif {test.question for test in drops} == {"hypo", "silver"}:
        names.append("clean drops")
    elif drops:
        names.append("clean drop")
    return names
