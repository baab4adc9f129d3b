"""The chain of changes of hands: what may follow what. Invariants of the trade: common practice, no source."""

import pytest

from catalog.records.transfers.chain import BrokenChainError, end_is_kept, state_after
from catalog.records.transfers.record import Transfer

ARTIST, GALLERY, SECOND, BUYER, LATER, MUSEUM = 1, 2, 3, 4, 5, 6
TITLE, CUSTODY, BOTH = (1, 0), (0, 1), (1, 1)


def hand(
    identity: int, kind: str, giver: int | None, taker: int | None, moves: tuple[int, int] = CUSTODY,
    settles: int | None = None,
) -> Transfer:  # fmt: skip
    return Transfer(
        identity,
        9,
        identity,
        kind,
        giver,
        taker,
        *moves,
        "2026",
        "",
        "",
        "",
        None,
        "",
        None,
        "",
        "",
        settles,
        "",
        "",
        "",
    )


CONSIGNED = hand(1, "consignment", ARTIST, GALLERY)
MOVED_ON = hand(2, "consignment", GALLERY, SECOND)
SOLD_OUT = hand(3, "sale", ARTIST, BUYER, CUSTODY)  # by the gallery, not paid yet
PAID = hand(4, "payment", ARTIST, BUYER, TITLE, 3)
SOLD = hand(3, "sale", ARTIST, BUYER, BOTH)  # from the studio
LOST = hand(5, "loss", BUYER, None)
FOUND = hand(6, "finding", None, BUYER)
# name -> (chain, owner, custodian, gone, how many debts, who has it in the consignment)
HOLDS = {
    "in the studio": ([], ARTIST, ARTIST, "", 0, []),
    "consigned: title stays": ([CONSIGNED], ARTIST, GALLERY, "", 0, [GALLERY]),
    "moved on within it": ([CONSIGNED, MOVED_ON], ARTIST, SECOND, "", 0, [GALLERY, SECOND]),
    "back with the first": (
        [CONSIGNED, MOVED_ON, hand(3, "return", SECOND, GALLERY)], ARTIST, GALLERY, "", 0, [GALLERY],
    ),
    "sold by the gallery, title stays": ([CONSIGNED, SOLD_OUT], ARTIST, BUYER, "", 1, [GALLERY]),
    "and paid": ([CONSIGNED, SOLD_OUT, PAID], BUYER, BUYER, "", 0, []),
    "a sale that fell through": (
        [CONSIGNED, SOLD_OUT, hand(4, "return", BUYER, ARTIST, CUSTODY, 3)], ARTIST, ARTIST, "", 0, [],
    ),
    "and back with the gallery": (
        [CONSIGNED, SOLD_OUT, hand(4, "return", BUYER, GALLERY, CUSTODY, 3)], ARTIST, GALLERY, "", 0, [GALLERY],
    ),
    "sold from the studio": ([SOLD], BUYER, BUYER, "", 1, []),
    "a later sale": ([SOLD, hand(4, "sale", BUYER, LATER, BOTH)], LATER, LATER, "", 1, []),
    "a gap": ([SOLD, hand(4, "sale", None, LATER, BOTH)], LATER, LATER, "", 1, []),
    "known with somebody": ([SOLD, hand(4, "kept", None, LATER, BOTH)], LATER, LATER, "", 1, []),
    "lost: title stays": ([SOLD, LOST], BUYER, None, "lost", 1, []),
    "found": ([SOLD, LOST, FOUND], BUYER, BUYER, "", 1, []),
    "stolen from the gallery and found there": (
        [CONSIGNED, hand(2, "theft", GALLERY, None), hand(3, "finding", None, GALLERY)],
        ARTIST, GALLERY, "", 0, [GALLERY],
    ),
    "given while it was out": ([CONSIGNED, hand(2, "gift", ARTIST, MUSEUM, BOTH)], MUSEUM, MUSEUM, "", 0, []),
    "destroyed, and the debt paid": (
        [SOLD, hand(4, "destruction", BUYER, None, BOTH), hand(5, "payment", ARTIST, BUYER, (0, 0), 3)],
        None, None, "destroyed", 0, [],
    ),
}  # fmt: skip
# name -> (chain whose last cannot follow, words of the reason)
BREAKS = {
    "consigned twice": ([CONSIGNED, hand(2, "consignment", ARTIST, SECOND)], "has it"),
    "lent though consigned": ([CONSIGNED, hand(2, "loan", ARTIST, MUSEUM)], "has it"),
    "moved on by one who has it not": ([CONSIGNED, hand(2, "consignment", SECOND, MUSEUM)], "has it"),
    "sold by somebody else": ([hand(1, "sale", BUYER, LATER, BOTH)], "belongs to"),
    "sold twice": ([SOLD, hand(4, "sale", ARTIST, LATER, BOTH)], "belongs to"),
    "sold twice, the first not paid": ([CONSIGNED, SOLD_OUT, hand(4, "sale", ARTIST, LATER)], "waits to be paid"),
    "from nobody known out of the studio": ([hand(1, "sale", None, BUYER, BOTH)], "belongs to"),
    "sold from the studio while out": ([CONSIGNED, SOLD], "sold from the studio"),
    "lent by the artist though sold": ([SOLD, hand(4, "loan", ARTIST, MUSEUM)], "has it"),
    "sold though lost": ([SOLD, LOST, hand(7, "sale", BUYER, LATER, BOTH)], "lost"),
    "lost twice": ([SOLD, LOST, hand(7, "loss", BUYER, None)], "lost"),
    "found though never lost": ([SOLD, FOUND], "not lost"),
    "lent though destroyed": ([hand(1, "destruction", ARTIST, None, BOTH), hand(2, "loan", ARTIST, GALLERY)], "destr"),
    "paid without a sale": ([hand(1, "payment", ARTIST, BUYER, (0, 0), 99)], "sale"),
    "kept by one who owns it not": ([hand(1, "kept", BUYER, BUYER, (0, 0))], "belongs to"),
    "known with somebody before it left the artist": ([hand(1, "kept", None, BUYER, BOTH)], "belongs to"),
}


@pytest.mark.parametrize("name", HOLDS)
def test_who_owns_and_has_a_thing(name: str) -> None:
    chain, owner, custodian, gone, debts, holders = HOLDS[name]
    state = state_after(chain, ARTIST)
    assert (state.owner, state.custodian, state.gone, len(state.debts)) == (owner, custodian, gone, debts)
    assert [one.to_party for one in state.out] == holders


@pytest.mark.parametrize("name", BREAKS)
def test_what_cannot_follow(name: str) -> None:
    chain, words = BREAKS[name]
    state_after(chain[:-1], ARTIST)
    with pytest.raises(BrokenChainError) as broken:
        state_after(chain, ARTIST)
    assert broken.value.culprit is chain[-1] and words in broken.value.reason


# name -> (chain with its new members below zero, whether the end stays as it is)
ENDS = {
    "a loan out and back before a sale": (
        [hand(-1, "loan", ARTIST, MUSEUM), hand(-2, "return", MUSEUM, ARTIST), SOLD], True,
    ),
    "a sale before a payment only": ([SOLD, hand(-1, "sale", BUYER, LATER, BOTH), hand(4, "payment", ARTIST, BUYER,
                                     (0, 0), 3)], False),
    "the new end itself": ([SOLD, hand(-1, "sale", BUYER, LATER, BOTH)], True),
    "lost and found before a sale": ([hand(-1, "loss", ARTIST, None), hand(-2, "finding", None, ARTIST), SOLD], True),
    "lost and not found before a sale": ([hand(-1, "loss", ARTIST, None), SOLD], False),
    "destroyed before a sale": ([hand(-1, "destruction", ARTIST, None, BOTH), SOLD], False),
}  # fmt: skip


@pytest.mark.parametrize("name", ENDS)
def test_what_is_told_later_changes_nothing_of_today(name: str) -> None:
    chain, kept = ENDS[name]
    assert end_is_kept(chain, [one for one in chain if one.id < 0]) is kept
