"""What the commands of dealings share: who gives and who receives, and what is said of a change of hands."""

import functools
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from shlex import quote
from typing import Any, TypeVar

import click

from catalog.cli.desk import Desk, happened
from catalog.cli.options import Operand
from catalog.dates import Date, parse_date
from catalog.events import Event
from catalog.records import parties
from catalog.records.items import Coded
from catalog.records.transfers import Giver, Said, Transfer, issued_after, of_item
from catalog.records.transfers.record import described

Function = TypeVar("Function", bound=Callable[..., Any])

THINGS = Operand("items", "--items", "CODES", "prints (3, 1-6) or plates (n1)")
TO = Operand("to", "--to", "NAME", "the other side, in quotes; a ? after it: not certain that it was they; or unknown")
ANYWAY = click.option(
    "--anyway", metavar="REASON", default="", help="In spite of a failed test, a missing wash or a promise."
)
FROM = click.option("--from", "giver", metavar="NAME", default="", help="Who gave it, if not the studio; or unknown.")
UNTIL = click.option("--until", metavar="DATE", default="", help="When it ends.")
INSURED = click.option("--insured", metavar="VALUE", default="", help="Insured value of each, such as 1200EUR.")
CONDITION = click.option("--condition", metavar="TEXT", default="", help="Condition at delivery.")
RETURNED = click.option("--returned", metavar="DATE", default="", help="When it came back, if it did (told later).")
NOBODY = "unknown"


@dataclass(frozen=True)
class Told:
    """What a person typed about a change of hands."""

    their_number: str = ""
    agent: str = ""
    place: str = ""
    occasion: str = ""
    remark: str = ""
    possibly: bool = False

    def said(self, connection: sqlite3.Connection, other: "OtherSide | None" = None, occasion: str = "") -> Said:
        """The same for the record; the agent is added as a party when new."""
        agent = parties.named_or_added(connection, self.agent, "other")[0].id if self.agent else None
        return Said(
            self.their_number,
            agent,
            self.place,
            self.occasion or occasion,
            self.remark,
            self.possibly,
            other is not None and not other.certain,
        )


@dataclass(frozen=True)
class OtherSide:
    """Who received a thing: the party, whether it is new, and whether it is certain that it was they."""

    party: parties.Party
    added: bool
    certain: bool
    similar: tuple[str, ...] = ()

    def tell(self, desk: Desk) -> None:
        """Say that a party is new, how that is changed, and whose name it resembles."""
        if not self.added:
            return
        kind = self.party.kind
        other = "collector" if kind == "institution" else "institution"
        words = "" if kind == "other" else f": {'an' if kind[0] in 'aeiou' else 'a'} {kind}"
        desk.say(
            f"{self.party.name} was added{words}, private. To change that: "
            f"tirage party correct {quote(self.party.name)} public=yes kind={other} --why REASON"
        )
        if self.similar:
            names = " and ".join(f"“{name}”" for name in self.similar)
            desk.warn(f"Mind: there is also {names}. If they are one: tirage undo, and type that name.")


def told_options(function: Function) -> Function:
    """--their-number, --agent, --in, --occasion, --remark and --possibly, handed to the command as `told`."""

    @functools.wraps(function)
    def gathered(*words: Any, **values: Any) -> Any:
        told = Told(*(values.pop(name) for name in Told.__dataclass_fields__))
        return function(*words, told=told, **values)

    wrapped: Any = gathered
    for flags, metavar, text in (
        (("--possibly", "possibly"), None, "It is not certain that this happened."),
        (("--remark", "remark"), "TEXT", "A footnote for the provenance; it may be printed."),
        (("--occasion", "occasion"), "TEXT", "The auction and lot, the fair, the show; it may be printed."),
        (("--in", "place"), "TOWN", "Town and country where it happened; it may be printed."),
        (("--agent", "agent"), "NAME", "Who acted for the one who received it."),
        (("--their-number", "their_number"), "TEXT", "The other side's own number (private)."),
    ):
        kind: dict[str, Any] = {"is_flag": True} if metavar is None else {"metavar": metavar, "default": ""}
        wrapped = click.option(*flags, help=text, **kind)(wrapped)
    return wrapped


def other_side(connection: sqlite3.Connection, typed: str, kind: str) -> OtherSide:
    """The party of a name, added when new; “unknown” is the unknown party, a ? at the end means not certain."""
    if typed.strip().lower() in (NOBODY, parties.UNKNOWN.lower()):
        return OtherSide(parties.unknown(connection), False, True)
    name = typed.strip()
    certain = not name.endswith("?")
    party, added = parties.named_or_added(connection, name if certain else name.rstrip("? "), kind)
    return OtherSide(party, added, certain, tuple(parties.similar(connection, party)) if added else ())


def giver_of(connection: sqlite3.Connection, typed: str) -> Giver | OtherSide:
    """Who gave a thing, from what was typed after --from."""
    if not typed.strip():
        return Giver.STUDIO
    if typed.strip().lower() == NOBODY:
        return Giver.UNKNOWN
    return other_side(connection, typed, "collector")


def event_on(desk: Desk, event: Event, typed: str) -> Event | None:
    """The same person's event on another date, None where none was typed."""
    return Event(happened(typed, None, desk.now), event.by) if typed else None


def date_or_none(typed: str) -> Date | None:
    """A date, None where none was typed."""
    return parse_date(typed) if typed else None


def papers_too_late(connection: sqlite3.Connection, thing: Coded) -> list[str]:
    """What to mind where a thing was destroyed before certificates of it were issued."""
    return [
        f"Mind: {code} of {thing.code} was issued after the day it was destroyed; one of the two dates is wrong, or "
        f"the certificate should not stand: tirage correct {thing.code} destruction-date=DATE --why REASON, or tirage "
        f"certificate revoke {code} --why REASON."
        for code in issued_after(connection, thing)
    ]


def tell_place(desk: Desk, done: list[Transfer]) -> None:
    """Say when something was told later and stands before what was recorded earlier."""
    if any(one.inserted is not None for one in done):
        desk.say("It was put in its place among what was recorded already; who owns and has it today is unchanged.")


def came_later(connection: sqlite3.Connection, thing: Coded, kept: Transfer) -> str:
    """A sentence where somebody is said to have had a thing before the record says that it came to them."""
    before = [one for one in of_item(connection, thing.id) if one.title and one.rank < kept.rank]
    if kept.title or not before or before[-1].to_party != kept.to_party:
        return ""
    came = before[-1]
    if not (came.latest and kept.latest and came.latest > kept.latest):
        return ""
    return (
        f"Mind: {thing.code} is now said to have been theirs {_dated(kept)}, while the record has "
        f"{described(connection, came)}. Where one of the dates is wrong: tirage correct {thing.code} "
        f"{came.kind}-date=DATE --why REASON"
    )


def _dated(one: Transfer) -> str:
    return parse_date(one.happened).text()


def gap_words(connection: sqlite3.Connection, thing: Coded, change: Transfer) -> str:
    """A sentence where the owner before is not known to have passed the thing to its giver."""
    titles = [one for one in of_item(connection, thing.id) if one.title and one.rank <= change.rank]
    known = titles[-2] if len(titles) > 1 else None
    if change.from_party is not None and not (known and known.kind == "kept"):
        return ""
    return " How it came there is not known: a gap, printed as one."
