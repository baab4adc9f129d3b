"""Publishing: a fresh public copy, built from nothing but what is on the allow-list."""

import os
import re
import shutil
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from catalog.errors import TirageError
from catalog.publish.public_certificates import copy_certificates, copy_keys
from catalog.publish.public_pictures import NamedPictures, PictureSet
from catalog.publish.public_prints import artist_lines, copy_editions
from catalog.publish.public_words import date_words, size_words
from catalog.publish.reading import DATABASE, FIRST_TABLES
from catalog.publish.search import fold
from catalog.store.backup import snapshot
from catalog.whole_files import settle

SCHEMA = Path(__file__).with_name("public.sql")

NEGATIVES = """SELECT n.id, code.code, n.title, n.made, n.made_where, n.process, n.support, n.height, n.width, n.state,
    n.description, n.shown, coalesce(series.title, '') AS series
    FROM negative n JOIN code ON code.id = n.id LEFT JOIN series ON series.id = n.series
    WHERE n.shown = 1 OR EXISTS (SELECT 1 FROM edition e WHERE e.negative = n.id AND e.shown = 1) ORDER BY n.id"""
PICTURE = "SELECT path, sha256 FROM picture WHERE item = ? ORDER BY id LIMIT 1"
PRINTS = """SELECT count(*) FROM print p JOIN edition e ON e.id = p.edition JOIN negative n ON n.id = e.negative
    WHERE (e.shown = 1 OR n.shown = 1) AND p.kind IN ('numbered', 'open', 'AP', 'PP', 'HC', 'BAT', 'EC', 'CP')"""

ADD_SITE = "INSERT INTO site VALUES (?, ?)"
ADD_SERIES = "INSERT INTO series (id, slug, title, position) VALUES (?, ?, ?, ?)"
ADD_PICTURE = "INSERT INTO picture VALUES (?, ?, ?, ?, ?)"
ADD_NEGATIVE = "INSERT INTO negative VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
# Words are taken from the public copy, never from the catalog: what is not public cannot be found either.
ADD_WORDS = "INSERT INTO search (code, kind, title, line, words) "
SERIES_WORDS = "SELECT slug, 'series', title, note, fold(title || ' ' || note) FROM series ORDER BY position"
NEGATIVE_WORDS = """SELECT code, 'negative', title, trim(made || ' ' || process),
    fold(code || ' ' || title || ' ' || made || ' ' || made_where || ' ' || process || ' ' || support || ' '
    || description) FROM negative ORDER BY position"""
EDITION_WORDS = """SELECT code, 'edition', title, statement,
    fold(code || ' ' || title || ' ' || statement || ' ' || process || ' ' || paper || ' ' || toning)
    FROM edition ORDER BY position"""
PRINT_WORDS = """SELECT print.code, 'print', edition.title, print.designation || ', ' || print.standing,
    fold(print.code || ' ' || edition.title || ' ' || print.designation || ' ' || print.paper || ' ' || print.toning)
    FROM print JOIN edition ON edition.code = print.edition ORDER BY print.position"""
WORDS = (SERIES_WORDS, NEGATIVE_WORDS, EDITION_WORDS, PRINT_WORDS)

COUNTS = """SELECT (SELECT count(*) FROM negative), (SELECT count(*) FROM edition), (SELECT count(*) FROM print),
    (SELECT count(*) FROM certificate), (SELECT count(*) FROM picture)"""

Progress = Callable[[int, int], None]


class NotAPublicCopyError(TirageError):
    """A folder that holds something else than a public copy."""

    def __init__(self, target: Path) -> None:
        super().__init__(
            f"{target} holds something, and no public copy of a catalog; publishing would write over it. "
            f"Nothing was changed. Name a new or an empty folder."
        )


class NotPublishedError(TirageError):
    """A public copy that could not be written."""

    def __init__(self, target: Path, reason: str) -> None:
        super().__init__(
            f"The public copy could not be written to {target} ({reason}). What was public before stays "
            f"as it was. Make room or change the permissions there, or name another folder."
        )


@dataclass(frozen=True, slots=True)
class Published:
    """How many of what the public copy holds; `unreadable` names master pictures that had to be left out."""

    negatives: int
    editions: int
    prints: int
    certificates: int
    pictures: int
    unreadable: tuple[str, ...] = ()


def publish(
    connection: sqlite3.Connection,
    pictures: Path,
    target: Path,
    published_on: str,
    address: str,
    progress: Progress | None = None,
) -> Published:
    """Build the public copy in `target` from what is marked as shown; `pictures` holds the masters.

    `published_on` is EDTF; `progress(done, all)` is called as prints and negatives are copied. The copy takes the
    place of the one before in one step. Raises NotAPublicCopyError, NotPublishedError.
    """
    target = target.resolve()
    if not may_hold(target):
        raise NotAPublicCopyError(target)
    # A connection in a transaction of its own is read as it stands: a backup would wait for its end for ever.
    source = connection if connection.in_transaction else snapshot(connection)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        work = Path(tempfile.mkdtemp(prefix=f".{target.name}-", dir=target.parent))
    except OSError as problem:
        raise NotPublishedError(target, problem.strerror or str(problem)) from problem
    try:
        drawn = PictureSet(pictures, target, work)
        published = _build(source, work, drawn, (published_on, address), progress or (lambda done, total: None))
        target.mkdir(exist_ok=True)
        first = not (target / DATABASE).exists()  # then it comes first, so that the folder is known for ours
        if not first:
            drawn.place()
        os.replace(work / DATABASE, target / DATABASE)
        if first:
            drawn.place()
        settle(target)
        drawn.clear()
    except (OSError, sqlite3.OperationalError) as problem:
        raise NotPublishedError(target, getattr(problem, "strerror", None) or str(problem)) from problem
    finally:
        if source is not connection:
            source.close()
        shutil.rmtree(work, ignore_errors=True)
    return published


def publish_facts(source: sqlite3.Connection, work: Path, published_on: str, address: str) -> sqlite3.Connection:
    """The facts of a public copy alone, open, built in the empty folder `work`: pictures are named and none is drawn.

    `source` is a snapshot, or nobody else writes meanwhile.
    """
    _build(source, work, NamedPictures(work, work, work), (published_on, address), lambda done, total: None)
    return sqlite3.connect(f"{(work / DATABASE).resolve().as_uri()}?mode=ro", uri=True, isolation_level=None)


def may_hold(target: Path) -> bool:
    """Whether a folder is new, empty, or holds a public copy that a new one may take the place of."""
    if not target.exists():
        return True
    if not target.is_dir():
        return False
    database = target / DATABASE
    if not database.is_file():
        return not any(target.iterdir())
    try:
        before = sqlite3.connect(f"{database.as_uri()}?mode=ro&immutable=1", uri=True)
        try:
            present = {name for (name,) in before.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")}
        finally:
            before.close()
    except sqlite3.DatabaseError:
        return False
    return present >= FIRST_TABLES


def _build(
    source: sqlite3.Connection, work: Path, drawn: PictureSet, site: tuple[str, str], progress: Progress
) -> Published:
    public = sqlite3.connect(work / "building.db", isolation_level=None)
    try:
        public.execute("PRAGMA journal_mode = OFF")
        public.execute("PRAGMA synchronous = OFF")
        for statement in _statements(SCHEMA.read_text(encoding="utf-8")):
            public.execute(statement)
        public.execute("BEGIN")
        total = len(source.execute(NEGATIVES).fetchall()) + source.execute(PRINTS).fetchone()[0]
        done = 0

        def counted(count: int) -> None:
            nonlocal done
            done += count
            progress(done, total)

        name, life = artist_lines(source)
        facts = (("artist", name), ("artist_dates", life), ("published_on", date_words(site[0])), ("address", site[1]))
        public.executemany(ADD_SITE, facts)
        _copy_negatives(source, public, drawn, counted)
        copy_editions(source, public, counted)
        copy_certificates(source, public)
        copy_keys(source, public)
        public.create_function("fold", 1, fold, deterministic=True)
        for words in WORDS:
            public.execute(ADD_WORDS + words)
        public.execute("INSERT INTO search (search) VALUES ('optimize')")
        public.execute("COMMIT")
        public.execute("PRAGMA analysis_limit = 1000")
        public.execute("ANALYZE")
        public.execute("VACUUM INTO ?", (str(work / DATABASE),))
        negatives, editions, prints, certificates, pictures = public.execute(COUNTS).fetchone()
    finally:
        public.close()
    settle(work / DATABASE)
    return Published(negatives, editions, prints, certificates, pictures, tuple(drawn.unreadable))


def _copy_negatives(
    source: sqlite3.Connection, public: sqlite3.Connection, drawn: PictureSet, counted: Callable[[int], None]
) -> None:
    """Shown negatives whole; of one that only has an edition shown, title, date, size and picture."""
    series: dict[str, int] = {}
    slugs: set[str] = set()
    for position, row in enumerate(source.execute(NEGATIVES).fetchall(), 1):
        whole = bool(row["shown"])
        if whole and row["series"] and row["series"] not in series:
            series[row["series"]] = len(series) + 1
            place = series[row["series"]]
            public.execute(ADD_SERIES, (place, _slug(row["series"], place, slugs), row["series"], place))
        master = source.execute(PICTURE, (row["id"],)).fetchone()
        picture = drawn.draw(row["code"], master["path"], master["sha256"]) if master else None
        if picture:
            public.execute(ADD_PICTURE, (picture.large, picture.small, picture.width, picture.height, row["title"]))
        public.execute(
            ADD_NEGATIVE,
            (
                row["code"],
                series.get(row["series"]) if whole else None,
                row["title"],
                date_words(row["made"]),
                row["made_where"] if whole else "",
                row["process"] if whole else "",
                row["support"] if whole else "",
                size_words(row["height"], row["width"]),
                row["state"] if whole else "",
                row["description"] if whole else "",
                picture.large if picture else None,
                position,
            ),
        )
        counted(1)


def _slug(title: str, place: int, taken: set[str]) -> str:
    """A series as a word of an address: folded, with dashes, unlike every other."""
    stem = re.sub(r"[^a-z0-9]+", "-", fold(title)).strip("-")[:70].strip("-") or f"series-{place}"
    slug = next(
        name for count in range(1, len(taken) + 2) if (name := stem if count == 1 else f"{stem}-{count}") not in taken
    )
    taken.add(slug)
    return slug


def _statements(script: str) -> Iterator[str]:
    text = ""
    for line in script.splitlines(keepends=True):
        text += line
        if sqlite3.complete_statement(text):
            yield text
            text = ""
