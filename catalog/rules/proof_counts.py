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
    counted = "1 proof (AP and HC)" if count == 1 else f"{count} proofs (AP and HC)"
    sentence = (
        f"{counted} beside {size} numbers: {share:g} per cent. Published customary figures run from 5 to 20 per cent; "
        f"there is no standard."
    )
    more = {
        "note": "",
        "warning": " Many would find it much; a buyer will ask.",
        "strong warning": " That is beyond every customary figure; say so openly wherever the edition is offered.",
    }
    return Advice(level, sentence + more[level])
