"""How many proofs beside an edition: advice by published customary figures, never a refusal.

The figures differ and none is a standard: 5 to 10 % (cartage.org.lb; catvillage), about 10 % (thurstonroyce,
sweetartofmine, visionsfineart), 10 to 15 % (konstlistan.se), up to 20 % (luxembourgartprize). That New York asks for
more to be disclosed above 20 proofs or 20 %, whichever is greater, is from memory and not confirmed.
"""

from collections.abc import Mapping
from dataclasses import dataclass

COUNTED = ("AP", "HC")
NOTE_ABOVE, WARNING_ABOVE, STRONG_ABOVE = 10, 15, 20  # per cent of the declared size
STRONG_FROM = 20  # proofs


@dataclass(frozen=True)
class Advice:
    """What is to be said of a count of proofs: "note", "warning" or "strong warning", and the sentence."""

    level: str
    sentence: str


def advice(size: int | None, proofs: Mapping[str, int]) -> Advice | None:
    """What to say of so many artist's and hors-commerce proofs beside `size` numbers; None when it is usual."""
    count = sum(proofs.get(kind, 0) for kind in COUNTED)
    if not size or count * 100 <= size * NOTE_ABOVE:
        return None
    level = "warning" if count * 100 > size * WARNING_ABOVE else "note"
    if count > STRONG_FROM and count * 100 > size * STRONG_ABOVE:
        level = "strong warning"
    share = round(count * 1000 / size) / 10
    kinds = " and ".join(kind for kind in COUNTED if proofs.get(kind))
    counted = f"{count} {'proof' if count == 1 else 'proofs'} ({kinds})"
    return Advice(level, f"{counted} beside {size} numbers: {share:g} per cent. {_compared(share, level)}")


def _compared(share: float, level: str) -> str:
    """How a share stands to the published figures."""
    if level == "note":
        return "Published customary figures differ, from 5 to 15 per cent in most; there is no standard."
    if share <= STRONG_ABOVE:
        return (
            "That is more than most published customary figures (5 to 15 per cent); the highest is 20. There is no "
            "standard, and a buyer will ask."
        )
    openly = " Say so openly wherever the edition is offered." if level == "strong warning" else ""
    beyond = "That is more than every published customary figure (the highest is 20 per cent)."
    return f"{beyond} There is no standard, and a buyer will ask.{openly}"
