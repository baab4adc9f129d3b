"""What selling, giving, consigning and lending do alike: find the things, stop what must not leave, tell of it."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from catalog.cli.dealings import OtherSide, Told, giver_of, other_side, tell_place
from catalog.cli.desk import Desk, Work
from catalog.cli.promise import settle_promises, stop_at_promise
from catalog.cli.sign import note_anyway, stop_at_doubt, stop_at_unsigned, tell_unrecorded
from catalog.records import items
from catalog.records.items import Coded
from catalog.records.transfers import Giver, Said, Transfer
from catalog.records.transfers.record import name_of


@dataclass(frozen=True)
class Typed:
    """What a person typed of a change of hands: of what, to whom, from whom, what is said of it, in spite of what."""

    items: str
    to: str
    giver: str
    told: Told
    anyway: str = ""

    @property
    def later(self) -> bool:
        """Whether somebody else than the studio gives."""
        return bool(self.giver)


@dataclass
class Hands:
    """The things of one command, who gives and who receives them, what is said of it, and what there is to mind."""

    typed: Typed
    things: list[Coded]
    side: OtherSide
    giver: int | Giver
    said: Said
    bare: list[Coded]
    others: tuple[OtherSide, ...] = ()  # a giver and an agent, who may be new too
    broken: list[str] = field(default_factory=list)

    def settle(self, work: Work) -> None:
        """End the promises of what left the studio, and note what was about."""
        if not self.typed.later:
            self.broken = settle_promises(work.connection, self.things, self.side.party.id)
        work.touch(self.things)

    def by(self, work: Work, done: Sequence[Transfer]) -> str:
        """“ by A. Collector” where it was not the studio that gave."""
        return f" by {name_of(work.connection, done[0].from_party)}" if self.typed.later else ""

    def tell(self, desk: Desk, done: Sequence[Transfer]) -> None:
        """Tell what there is to mind, who was added, and what was told later."""
        tell_unrecorded(desk, self.bare)
        for line in self.broken:
            desk.warn(line)
        for one in dict.fromkeys((self.side, *self.others)):
            one.tell(desk)
        tell_place(desk, list(done))


def hands(
    work: Work,
    typed: Typed,
    party_kind: str,
    kinds: Sequence[str] = ("print", "negative"),
    *,
    sound: bool = False,
    promised: bool = True,
    occasion: str = "",
) -> Hands:
    """Find what was typed, and refuse what must not leave the studio so.

    With `sound` prints that failed or are unsigned stop, with `promised` those promised to somebody else.
    """
    connection = work.connection
    things = items.find(connection, typed.items, *kinds)
    bare: list[Coded] = []
    if sound and not typed.later:
        sheets = [thing for thing in things if thing.kind == "print"]
        bare = stop_at_doubt(connection, sheets, typed.anyway)
        stop_at_unsigned(connection, sheets, typed.anyway)
    note_anyway(work, typed.anyway)
    side = other_side(connection, typed.to, party_kind)
    if promised and not typed.later:
        stop_at_promise(connection, things, side.party.id, typed.anyway)
    agent = other_side(connection, typed.told.agent, "other") if typed.told.agent else None
    said = typed.told.said(connection, side, occasion)
    giver = giver_of(connection, typed.giver)
    others = tuple(one for one in (giver, agent) if isinstance(one, OtherSide))
    return Hands(typed, things, side, giver.party.id if isinstance(giver, OtherSide) else giver, said, bare, others)
