"""Whether the artist signed anything after the artist's death."""

from collections.abc import Iterator

from catalog.dates import parse_date
from catalog.records import catalogs, deaths
from catalog.rules.checks.findings import Finding, Subject


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
