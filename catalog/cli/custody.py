"""Consigning, lending, bringing back, keeping, losing and finding on the command line."""

import click

from catalog.cli.dealings import (
    ANYWAY,
    CONDITION,
    FROM,
    INSURED,
    RETURNED,
    THINGS,
    TO,
    UNTIL,
    Told,
    came_later,
    date_or_none,
    event_on,
    other_side,
    tell_place,
    told_options,
)
from catalog.cli.desk import Desk, Work
from catalog.cli.hands import Typed, hands
from catalog.cli.options import Operand, command, event_options
from catalog.cli.promise import promise_again
from catalog.money import parse_money
from catalog.records import items, losses, transfers
from catalog.records.transfers import Terms
from catalog.records.transfers.commission import parse_commission
from catalog.records.transfers.record import name_of

WHOM = Operand("to", "--to", "NAME", "to whom, if not to its owner", required=False)
WITH_WHOM = Operand("to", "--to", "NAME", "who has it now, if not who had it when it was lost", required=False)
OWNER = Operand("to", "--to", "NAME", "who kept it, if not the artist", required=False)
TAKERS = {"consignment": "gallery", "approval": "collector", "loan": "institution", "exhibition": "institution"}
WORDS = {"consignment": "consigned to", "approval": "on approval to", "loan": "lent to", "exhibition": "lent to"}


@command("consign", THINGS, TO)
@UNTIL
@click.option("--commission", metavar="PERCENT", default="", help="Such as 40 or 40%.")
@click.option("--price", metavar="PRICE", default="", help="Retail price of each, such as 900EUR.")
@INSURED
@CONDITION
@click.option("--approval", is_flag=True, help="On approval: to be bought or sent back.")
@FROM
@RETURNED
@told_options
@ANYWAY
@event_options
def consign_command(
    desk: Desk,
    to: str,
    until: str,
    commission: str,
    price: str,
    insured: str,
    condition: str,
    approval: bool,
    giver: str,
    returned: str,
    anyway: str,
    told: Told,
    **operands: str,
) -> None:
    """Hand prints to a gallery to sell. Title stays with the artist until they are sold and paid.

    \b
    tirage consign 4-6 "Gallery Example" --until 2027-03 --commission 40
    tirage consign 4 "B. Buyer" --approval --until 2027-01
    tirage consign 5 "Gallery Two" --from "Gallery Example"    moved on; the first terms stay
    """
    terms = Terms(
        date_or_none(until),
        parse_commission(commission) if commission else None,
        parse_money(price) if price else None,
        parse_money(insured) if insured else None,
        condition,
    )
    kind = "approval" if approval else "consignment"
    _hand_out(desk, kind, Typed(operands["items"], to, giver, told, anyway), terms, returned)


@command("lend", THINGS, TO)
@UNTIL
@click.option("--exhibition", metavar="TITLE", default="", help="For an exhibition of that title; it may be printed.")
@INSURED
@CONDITION
@FROM
@RETURNED
@told_options
@event_options
def lend_command(
    desk: Desk,
    to: str,
    until: str,
    exhibition: str,
    insured: str,
    condition: str,
    giver: str,
    returned: str,
    told: Told,
    **operands: str,
) -> None:
    """Lend prints or plates.

    \b
    tirage lend 7 "Museum Example" --exhibition "Tide Lines" --in "Port Example" --until 2027-09
    tirage lend n2 "A. Scholar" --on 2025-03 --returned 2025-05    told later
    """
    terms = Terms(date_or_none(until), insured=parse_money(insured) if insured else None, condition=condition)
    kind = "exhibition" if exhibition else "loan"
    _hand_out(desk, kind, Typed(operands["items"], to, giver, told), terms, returned, exhibition)


@command("return", THINGS, WHOM)
@event_options
def return_command(desk: Desk, to: str | None, **operands: str) -> None:
    """Record what came back to its owner; in the studio it is then not yet placed.

    What was sold from the studio and is not paid comes back for good: the sale was not completed, nothing is owed.

    \b
    tirage return 4-6
    tirage return 5 "Gallery Example"    back to the first of two galleries
    """
    with desk.writing() as work:
        things = items.find(work.connection, operands["items"], "print", "negative")
        target = other_side(work.connection, to, "gallery").party.id if to else None
        done = [transfers.give_back(work.connection, work.event, thing, target) for thing in things]
        work.touch(things)
        minds = [promise_again(work.connection, one.settles) for one in done if one.settles]
        alike: dict[str, list[items.Coded]] = {}
        failed: list[str] = []
        for thing, one in zip(things, done, strict=True):
            home = one.to_party == _artist(work)
            alike.setdefault("" if home else name_of(work.connection, one.to_party), []).append(thing)
            if one.title:
                buyer = name_of(work.connection, one.from_party)
                failed.append(f"The sale of {thing.code} to {buyer} was not completed; nothing is owed for it.")
    for line in failed:
        desk.say(line)
    for name, group in alike.items():
        desk.say(
            f"{items.shorten(group)} back with {name}."
            if name
            else f"{items.shorten(group)} back in the studio, not yet placed. Next: tirage move last PLACE"
        )
    for mind in filter(None, minds):
        desk.warn(mind)
    tell_place(desk, done)


@command("keep", THINGS, OWNER)
@event_options
def keep_command(desk: Desk, to: str | None, **operands: str) -> None:
    """Record that its owner kept a thing: the artist, or later somebody who is known to have had it then.

    \b
    tirage keep 12
    tirage keep 3 "A. Collector" --on 1998    it was still, or already, theirs
    """
    with desk.writing() as work:
        things = items.find(work.connection, operands["items"], "print", "negative")
        party = other_side(work.connection, to, "collector") if to else None
        done = [
            transfers.keep(work.connection, work.event, thing, party.party.id if party else None) for thing in things
        ]
        doubts = [came_later(work.connection, thing, one) for thing, one in zip(things, done, strict=True)]
        work.touch(things)
    desk.say(f"{items.shorten(things)} kept by {party.party.name if party else 'the artist'}.")
    for doubt in filter(None, doubts):
        desk.warn(doubt)
    if party:
        party.tell(desk)
    tell_place(desk, done)


@command("lost", THINGS)
@click.option("--stolen", is_flag=True, help="It was stolen.")
@click.option("--found", metavar="DATE", default="", help="When it was found again, if it was (told later).")
@told_options
@event_options
def lost_command(desk: Desk, stolen: bool, found: str, told: Told, **operands: str) -> None:
    """Record that prints or plates were lost or stolen. Who owns them owns them still; no number is given again."""
    with desk.writing() as work:
        things = items.find(work.connection, operands["items"], "print", "negative")
        said, again = told.said(work.connection), event_on(desk, work.event, found)
        done = [
            losses.lose(work.connection, work.event, thing, stolen=stolen, said=said, found=again) for thing in things
        ]
        work.touch(things)
    again_words = f", and found again {again.moment.text()}" if again else ""
    desk.say(f"{items.shorten(things)} {'stolen' if stolen else 'lost'}{again_words}; the owner stays the owner.")
    tell_place(desk, done)


@command("found", THINGS, WITH_WHOM)
@told_options
@event_options
def found_command(desk: Desk, to: str | None, told: Told, **operands: str) -> None:
    """Record that what was lost or stolen is found; a plate is again as it was before."""
    with desk.writing() as work:
        things = items.find(work.connection, operands["items"], "print", "negative")
        target = other_side(work.connection, to, "other").party.id if to else None
        said = told.said(work.connection)
        done = [losses.find_again(work.connection, work.event, thing, target, said) for thing in things]
        work.touch(things)
        lines = [
            f"{thing.code} found, in the studio; not yet placed. Next: tirage move last PLACE"
            if one.to_party == _artist(work)
            else f"{thing.code} found, with {name_of(work.connection, one.to_party)}."
            for thing, one in zip(things, done, strict=True)
        ]
    for line in lines:
        desk.say(line)
    tell_place(desk, done)


def _artist(work: Work) -> int:
    from catalog.records import catalogs

    return catalogs.artist(work.connection).id


def _hand_out(desk: Desk, kind: str, typed: Typed, terms: Terms, returned: str, exhibition: str = "") -> None:
    """Consign, send on approval or lend what was typed, and say so."""
    with desk.writing() as work:
        sound = kind in ("consignment", "approval")
        out = hands(work, typed, TAKERS[kind], sound=sound, promised=kind == "approval", occasion=exhibition)
        back = event_on(desk, work.event, returned)
        done = [
            transfers.hand_out(
                work.connection,
                work.event,
                thing,
                kind,
                out.side.party.id,
                terms=terms,
                giver=out.giver,
                said=out.said,
                returned=back,
            )
            for thing in out.things
        ]
        work.touch(out.things)
        by = out.by(work, done)
    until = f" until {terms.until.text()}" if terms.until else ""
    home = f", and back {back.moment.text()}" if back else ""
    desk.say(f"{items.shorten(out.things)} {WORDS[kind]} {out.side.party.name}{by}{until}{home}.")
    out.tell(desk, done)
