"""Whether the artist made or signed anything outside of life, and nobody left anything by will in life."""

from collections.abc import Iterator

from catalog.dates import parse_date
from catalog.records import catalogs, deaths, parties
from catalog.rules.checks.findings import Finding, Subject, day

LEFT = "SELECT DISTINCT from_party FROM transfer WHERE kind = 'bequest' AND from_party IS NOT NULL ORDER BY from_party"

PLATES = "SELECT c.code, n.made, n.earliest, n.latest FROM negative n JOIN code c ON c.id = n.id WHERE n.made <> ''"


def made_in_life(subject: Subject) -> Iterator[Finding]:
    """Negatives that are dated before the artist was born or after the artist died."""
    artist = catalogs.artist(subject.connection)
    if not (artist.born or artist.died):
        return
    for code, made, earliest, latest in subject.connection.execute(PLATES):
        if beyond := artist.beyond(earliest, latest):
            yield Finding(
                "warning", code, f"{code} is dated {day(made)}, {beyond}; one is wrong, or another hand made it."
            )


def signed_after_death(subject: Subject) -> Iterator[Finding]:
    """Whether the artist, or the artist's key, signed anything after the day of death."""
    artist = catalogs.artist(subject.connection)
    if not artist.died_latest:
        return
    for after in deaths.signed_after(subject.connection, artist.died_latest):
        yield Finding(
            "error",
            after.code,
            f"{after.code} was {after.what} {parse_date(after.date).text()}, after {artist.name} died "
            f"({parse_date(artist.died).text()}); one of the two dates is wrong.",
        )


def bequest_before_death(subject: Subject) -> Iterator[Finding]:
    """Whether anything was left by will before the one who left it died."""
    for (identity,) in subject.connection.execute(LEFT).fetchall():
        party = parties.read(subject.connection, identity)
        if not party.died:
            continue
        died = parse_date(party.died)
        for left in deaths.left_before(subject.connection, identity, died.earliest):
            yield Finding(
                "error",
                left.code,
                f"{left.code} was {left.what} {parse_date(left.date).text()}, before {party.name} died "
                f"({died.text()}); one of the two dates is wrong.",
            )
