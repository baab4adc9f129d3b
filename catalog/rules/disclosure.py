"""Disclosure: where a print departs from what its edition promised, and sentences printed with other editions."""

from catalog.records import editions

IDLE_WORDS = frozenset(
    ["", "a", "and", "in", "on", "the", "with", "toner", "toned", "toning", "paper", "none", "untoned"]
)


def differences(edition: editions.Edition | None, paper: str, tone: str) -> list[str]:
    """Where a print departs from what its edition intended, a sentence each; nothing does from what is not stated."""
    if edition is None:
        return []
    sentences = []
    for name, intended, actual in (("paper", edition.paper, paper), ("toning", edition.toning, tone)):
        if _plain_words(intended) and not actual:
            sentences.append(f"The {name} of this print is not recorded; the edition intended {intended}.")
        elif intended and not _alike(intended, actual):
            sentences.append(f"This print differs in its {name}: {actual}; the edition intended {intended}.")
    return sentences


def attributed(code: str, sentence: str) -> str:
    """A sentence printed with another edition than its own: with that one's code, unless it names it itself."""
    return sentence if code.casefold() in sentence.casefold() else f"{code}: {sentence}"


def _alike(intended: str, actual: str) -> bool:
    """Whether two descriptions agree: all that is said shortly is said at length too."""
    one, other = _plain_words(intended), _plain_words(actual)
    return one == other if not one or not other else one <= other or other <= one


def _plain_words(text: str) -> frozenset[str]:
    words = {word.strip("().:").removesuffix("-toned") for word in text.casefold().replace(",", " ").split()}
    return frozenset(words - IDLE_WORDS)
