"""Run every benchmark, print one table, and exit 1 when a target is missed or a benchmark fails.

`--quick` takes few rounds and small catalogs, for continuous integration; its table is printed, its verdict not judged,
for a shared machine is too noisy for that. `--only WORD` runs the groups whose name or rows hold the word. `--markdown`
prints the table as the README has it.
"""

import argparse
import contextlib
import io
import os
import shutil
import subprocess
import sys
import tempfile
import time
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from tests.benchmarks.pairs import Row, kind_of, machine, markdown, ratio, table

BARE_CLICK = """
import click
@click.group()
def main(): pass
@main.command()
def one(): "One command."
main()
"""
BARE_QUERY = "import click, sqlite3; print(sqlite3.connect({path!r}).execute('select count(*) from place').fetchone())"
TIRAGE = "import sys; sys.path.insert(0, {checkout!r}); from catalog.cli.main import main; main()"
CHECKOUT = Path(__file__).parents[2]


class Sizes(NamedTuple):
    """How large and how often: rounds of one process or page, of heavy work, and rows of each catalog."""

    rounds: int
    heavy: int
    numbers: int
    large: int
    certificates: int
    public: int
    graded: int
    imported: int
    labels: int


FULL = Sizes(21, 7, 300, 1_000_000, 1_000, 200_000, 100_000, 60_000, 20_000)
QUICK = Sizes(3, 2, 50, 5_000, 100, 5_000, 5_000, 3_000, 2_000)


class Group(NamedTuple):
    """Benchmarks that share what they are built on; `rows` name what each measures, `#` standing for a number."""

    name: str
    rows: tuple[str, ...]
    run: Callable[[Sizes, Path], list[Row]]


def process(script: str, *words: str) -> Callable[[], object]:
    """One whole Python process that runs a script."""
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}

    def start() -> object:
        return subprocess.run([sys.executable, "-c", script, *words], capture_output=True, check=True, env=environment)

    return start


def tirage(*words: str) -> Callable[[], object]:
    """One whole `tirage` process."""
    return process(TIRAGE.format(checkout=str(CHECKOUT)), *words)


def start_up(sizes: Sizes, folder: Path) -> list[Row]:
    """--help against a bare click program; reading commands against bare imports and one query."""
    from tests.benchmarks import large_catalog

    catalog = large_catalog.build(folder / "small", 1_000)
    bare, rounds = process(BARE_QUERY.format(path=str(catalog / "catalog.db"))), sizes.rounds
    at = ("--catalog", str(catalog))
    query = "import click, sqlite3; one query"
    return [
        Row(
            "tirage --help", "a bare click program", ratio(tirage("--help"), process(BARE_CLICK, "--help"), rounds), 1.2
        ),
        Row("tirage where n1, 1,000 prints", query, ratio(tirage(*at, "where", "n1"), bare, rounds), 2),
        Row("tirage print show 500, 1,000 prints", query, ratio(tirage(*at, "print", "show", "500"), bare, rounds), 2),
    ]


def number(sizes: Sizes, folder: Path) -> list[Row]:
    """Handing out a number, one transaction each."""
    from tests.benchmarks import bare_prints, numbers

    catalog = bare_prints.build(folder / "small", 1_000)
    signed = numbers.signing(catalog, sizes.numbers + 1)
    found = ratio(signed, numbers.bare_insert(folder), sizes.numbers)
    return [Row("handing out a number, one transaction each", "a bare insert, the same durability", found, 1.5)]


def growth(sizes: Sizes, folder: Path) -> list[Row]:
    """The same commands, and handing out a number, in a large catalog against a small one."""
    from tests.benchmarks import large_catalog, numbers

    small, large = (large_catalog.build(folder / str(count), count) for count in (1_000, sizes.large))

    def pair(*words: str) -> float:
        many, few = (tirage("--catalog", str(catalog), *words) for catalog in (large, small))
        return ratio(many, few, sizes.rounds)

    rows = [
        Row(f"tirage {line}, {sizes.large:,} prints", "the same at 1,000", pair(*line.split()), 1.2)
        for line in ("where n1", "print show 500", "edition show e4", "due")
    ]
    one, many = (numbers.signing(catalog, sizes.numbers + 1) for catalog in (small, large))
    found = ratio(many, one, sizes.numbers)
    return [*rows, Row(f"handing out a number, {sizes.large:,} prints", "the same at 1,000", found, 1.2)]


def paper(sizes: Sizes, folder: Path) -> list[Row]:
    """Label sheets against what the libraries do by themselves, and what they weigh."""
    from tests.benchmarks import papers

    work, few = "label sheets, 240 labels with codes", max(sizes.heavy, 3)
    by_hand = 1 / ratio(papers.our_labels, papers.naive_labels, few)
    rows = [
        Row(work, "one rectangle a module", by_hand, 5, at_least=True),
        Row("size of 1,000 labels, KiB", "-", papers.size_of_labels() / 1024, 400),
        Row(f"memory for {sizes.labels:,} labels, MiB", "-", papers.memory_of_labels(sizes.labels), 128),
    ]
    try:
        by_html = 1 / ratio(papers.our_labels, papers.html_labels, 3)
    except (ImportError, OSError) as error:  # it needs libraries of the system, which not every machine has
        return [*rows, Row(work, "an HTML-to-PDF library", 0, 20, at_least=True, failed=first_line(error))]
    return [*rows, Row(work, "an HTML-to-PDF library", by_html, 20, at_least=True)]


def certificate(sizes: Sizes, folder: Path) -> list[Row]:
    """Certificates: issuing, and one on paper."""
    from tests.benchmarks import certificates

    return certificates.rows(folder / "certificates", sizes.certificates, sizes.rounds)


def site(sizes: Sizes, folder: Path) -> list[Row]:
    """Publishing, and the pages of what was published."""
    from tests.benchmarks import pages, publishing

    rows = publishing.rows(sizes.heavy, folder / "site", sizes.public)
    return rows + pages.rows(sizes.heavy, folder / "site" / "public", sizes.public)


def grades(sizes: Sizes, folder: Path) -> list[Row]:
    """Regrading all evidence, and one grade."""
    from tests.benchmarks import regrading

    return regrading.rows(sizes.heavy, folder / "regrading", sizes.graded)


def imports(sizes: Sizes, folder: Path) -> list[Row]:
    """Bringing in a long list."""
    from tests.benchmarks import importing

    return importing.rows(sizes.heavy, folder / "importing", sizes.imported)


def exports(sizes: Sizes, folder: Path) -> list[Row]:
    """Taking everything out, of a small and a large catalog."""
    from tests.benchmarks import exporting, large_catalog

    few = min(10_000, sizes.large)
    small, large = (large_catalog.build(folder / name, count) for name, count in (("few", few), ("many", sizes.large)))
    return exporting.rows(sizes.heavy, folder / "exporting", small, large)


GROUPS = (
    Group(
        "start-up",
        ("tirage --help", "tirage where n#, # prints", "tirage print show #, # prints"),
        start_up,
    ),
    Group("number", ("handing out a number, one transaction each",), number),
    Group(
        "growth",
        (
            "tirage where n#, # prints",
            "tirage print show #, # prints",
            "tirage edition show e#, # prints",
            "tirage due, # prints",
            "handing out a number, # prints",
        ),
        growth,
    ),
    Group(
        "labels",
        (
            "label sheets, # labels with codes",
            "size of # labels, KiB",
            "memory for # labels, MiB",
            "label sheets, # labels with codes",
        ),
        paper,
    ),
    Group(
        "certificates",
        (
            "issuing # certificates, milliseconds each",
            "issuing # certificates",
            "a certificate, signed, with attachments",
        ),
        certificate,
    ),
    Group(
        "site",
        (
            "publishing # prints",
            "print page, requests a second, # prints",
            "browse page, requests a second, # prints",
            "search page, requests a second, # prints",
            "print page, requests a second",
        ),
        site,
    ),
    Group("regrading", ("regrading all evidence (# prints)", "one print's grade, ms"), grades),
    Group("import", ("importing # rows",), imports),
    Group(
        "export",
        ("export of # prints: peak MiB", "export of # prints: memory", "export of # prints, checked"),
        exports,
    ),
)


def first_line(error: BaseException) -> str:
    """An error in one short line."""
    return f"{type(error).__name__}: {str(error).partition(chr(10))[0]}"[:100]


def measured(group: Group, sizes: Sizes) -> list[Row]:
    """The rows of a group in a folder of its own; one that fails is told, with the rows it would have had."""
    folder = Path(tempfile.mkdtemp())
    began = time.monotonic()
    said = io.StringIO()  # what commands say while catalogs are built
    try:
        with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
            rows = group.run(sizes, folder)
        wrong = [row.work for row in rows] if [kind_of(row.work) for row in rows] != list(group.rows) else []
        assert not wrong, f"these rows are not those of its group: {wrong}"
    except Exception as error:
        traceback.print_exc()
        rows = [Row(name, "-", 0, 0, failed=first_line(error)) for name in group.rows]
    finally:
        shutil.rmtree(folder)
    print(f"{group.name}: {time.monotonic() - began:.0f} s", file=sys.stderr)
    return rows


def main() -> int:
    """Run what was asked for; the exit status."""
    asked = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=(__doc__ or "").partition("\n")[0])
    asked.add_argument("--quick", action="store_true", help="few rounds, small catalogs, no verdict")
    asked.add_argument("--only", metavar="WORD", default="", help="groups whose name or rows hold this word")
    asked.add_argument("--markdown", action="store_true", help="the table as the README has it")
    given = asked.parse_args()
    chosen = [group for group in GROUPS if any(given.only in name for name in (group.name, *group.rows))]
    if not chosen:
        asked.error(f"no group holds “{given.only}”; expected a word of: {', '.join(group.name for group in GROUPS)}")
    rows = [row for group in chosen for row in measured(group, QUICK if given.quick else FULL)]
    print((markdown if given.markdown else table)(rows))
    print(f"\n{machine()}")
    return 0 if given.quick or all(row.holds for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main())
