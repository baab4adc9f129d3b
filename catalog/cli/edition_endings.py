"""How an edition ends, and what is set right of it, on the command line."""

import click

from catalog.cli.desk import Desk
from catalog.cli.options import EDITION, Operand, command, event_options
from catalog.records import edition_endings, edition_errata, editions, items
from catalog.vocabulary import EDITION_FATES


@command("close", EDITION)
@click.option("--at-number", type=click.IntRange(1), metavar="N", help="Highest number (default: the highest given).")
@event_options
def close_command(desk: Desk, code: str, at_number: int | None) -> None:
    """Close an edition: complete when its numbers are given, else early. It never opens again."""
    with desk.writing() as work:
        thing = items.find_one(work.connection, code, "edition")
        one = editions.read(work.connection, thing.id)
        at = edition_endings.close(work.connection, work.event, one, at_number)
        state = editions.read(work.connection, thing.id).state
        work.touch(thing)
    if state == "complete":
        desk.say(f"{one.code} is complete." if at else f"{one.code} is closed.")
    else:
        desk.say(f"{one.code} is closed early at number {at} of {one.size} declared.")


@command("cancel", EDITION)
@click.option("--negative", "fate", type=click.Choice(EDITION_FATES), required=True, help="What became of the plate.")
@click.option("--why", metavar="REASON", required=True, help="Why the edition ends.")
@event_options
def cancel_command(desk: Desk, code: str, fate: str, why: str) -> None:
    """Cancel an edition: what was not given out never is, and the plate is kept, marked, broken ...

    \b
    tirage edition cancel e1 --negative marked --why "the run is over"
    tirage print make e1 --cancellation        a declared cancellation proof can still be made
    """
    with desk.writing() as work:
        work.event = work.event.noted(why.strip(), work.event.note)
        thing = items.find_one(work.connection, code, "edition")
        one = editions.read(work.connection, thing.id)
        negative = items.find_one(work.connection, items.code_of(work.connection, one.negative), "negative")
        voided = edition_endings.cancel(work.connection, work.event, one, negative, fate)
        proof = "CP" in editions.proofs(work.connection, thing.id)
        work.touch([thing] if fate == "kept" else [thing, negative])
    void = {0: "nothing was left to give", 1: "1 number or proof is void"}.get(
        voided, f"{voided} numbers and proofs are void"
    )
    desk.say(f"{one.code} is cancelled, {void}; {negative.code} is {fate}.")
    if proof and fate == "marked":
        desk.say(f"Next: tirage print make {one.code} --cancellation")


@command("erratum", EDITION, Operand("text", "--text", "SENTENCE", "one sentence, in quotes"))
@event_options
def erratum_command(desk: Desk, code: str, text: str) -> None:
    """Set right what was said of an edition: a sentence printed with it from then on, and never taken away.

    \b
    tirage edition erratum e1 "The plate is of 1998, and not of 1989."
    """
    with desk.writing() as work:
        thing = items.find_one(work.connection, code, "edition")
        added = edition_errata.add(work.connection, work.event, thing.id, text)
        work.touch(thing)
    desk.say(f"{thing.code}, erratum: {added.text}")
    desk.warn("Certificates issued before do not say so; supersede those that need it.")
