"""A mixed load: lines as a studio types them, many of them refused, for what was done before stands in their way."""

import random
from pathlib import Path

from catalog.cli.main import run

SIZE = 400  # numbers of the edition: more than a catalog lives to give
BEGIN = (
    ["negative", "add", "Low water", "--state", "ready"],
    ["negative", "add", "Sluice", "--state", "drying"],
    ["party", "add", "Gallery", "--kind", "gallery"],
    ["party", "add", "Buyer", "--mail", "buyer@example.org"],
    ["edition", "declare", "n1", str(SIZE), "--ap", "2", "--price", "900EUR"],
    ["paper", "add", "warm", "a warm paper"],
    ["bath", "mix", "fixer", "rapid fixer"],
    ["washer", "add", "slots", "--kind", "slots"],
    ["place", "add", "studio/shelf"],
    ["place", "add", "studio/drawer"],
    ["print", "make", "e1", "6", "--paper", "warm"],
    ["shown", "n1"],
)
TABLE = "Title,Made\n{0} one,1998\n{0} two,c. 1950\n"


def begun(folder: Path) -> Path:
    """A catalog to work on."""
    assert run(["init", str(folder), "--artist", "A. Example"]) == 0
    for line in BEGIN:
        assert run(["--catalog", str(folder), *line]) == 0, line
    return folder


def copies(folder: Path) -> Path:
    """Where the backups of a catalog go."""
    return folder.with_name(f"copies-{folder.name}")


def lines(chance: random.Random, folder: Path, prints: int, tag: str) -> list[str]:
    """One line of the load; `prints` is about how many there are, the newest the likeliest."""
    newest = max(1, prints)
    some = str(chance.randint(max(1, newest - 8), newest))
    several = f"{max(1, newest - chance.randint(0, 3))}-{newest}"
    choices: list[tuple[int, list[str]]] = [
        (6, ["print", "make", "e1", str(chance.randint(1, 3)), "--paper", "warm"]),
        (4, ["fix", several, "1m"]),
        (3, ["wash", several, "30m"]),
        (1, ["strip", "--paper", "warm"]),
        (2, ["test", "last", "hypo", "none"]),
        (6, ["sign", several, "--anyway", "testing"]),
        (5, ["sell", some, "Buyer", "900EUR", "--anyway", "testing"]),
        (3, ["paid", some]),
        (5, ["certificate", "issue", some, "--anyway", "testing"]),
        (5, ["move", several, chance.choice(["studio/shelf", "studio/drawer"])]),
        (3, ["consign", some, "Gallery", "--anyway", "testing"]),
        (2, ["return", some]),
        (1, ["destroy", some, "--why", "torn"]),
        (2, ["promise", f"e1:{chance.randint(1, SIZE)}", "--to", "Buyer"]),
        (2, ["negative", "add", f"Plate {tag}"]),
        (2, ["correct", "n1", f"title=Low water {tag}", "--why", "a slip"]),
        (3, ["undo"]),
        (1, ["session", "sheet", "e1", "2"]),
        (1, ["key", "renew"]),
        (1, ["picture", "add", "n1", str(folder.parent / "pond.png")]),
        (2, ["label", several]),
        (1, ["provenance", some]),
        (1, ["publish"]),
        (4, ["backup", str(copies(folder)), "--keep", "2"]),
        (4, ["import", "negatives", str(folder.parent / "plates.csv"), "--apply"]),
    ]
    return chance.choices([line for _, line in choices], [weight for weight, _ in choices])[0]
