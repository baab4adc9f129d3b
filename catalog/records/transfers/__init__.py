"""Transfers: changes of title and of custody, in order for each item."""

from catalog.records.transfers.chain import State, state_after
from catalog.records.transfers.custody import destroy, find_again, give_back, hand_out, issued_after, keep, lose
from catalog.records.transfers.entering import (
    BackDatedError,
    BrokenRecordError,
    NoRoomError,
    TooEarlyError,
    TransferOrderError,
)
from catalog.records.transfers.record import (
    NONE_SAID,
    TITLE_KINDS,
    Giver,
    NotOursToGiveError,
    Said,
    Standing,
    Terms,
    Transfer,
    of_item,
    standing,
)
from catalog.records.transfers.sales import give, living_then, pay, sell

__all__ = [
    "NONE_SAID",
    "TITLE_KINDS",
    "BackDatedError",
    "BrokenRecordError",
    "Giver",
    "NoRoomError",
    "NotOursToGiveError",
    "Said",
    "Standing",
    "State",
    "Terms",
    "TooEarlyError",
    "Transfer",
    "TransferOrderError",
    "destroy",
    "find_again",
    "give",
    "give_back",
    "hand_out",
    "issued_after",
    "keep",
    "living_then",
    "lose",
    "of_item",
    "pay",
    "sell",
    "standing",
    "state_after",
]
