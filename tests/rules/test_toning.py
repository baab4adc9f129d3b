"""What a print was toned with: a toner is named after whole words of its bath."""

from typing import Any, NamedTuple, cast

import pytest

from catalog.rules.toning import toned_of, toning_of


class Step(NamedTuple):
    """What the words are taken from, of a step."""

    kind: str
    bath_text: str
    seconds: int | None


TONED = {
    (): "",
    ("selenium toner 1+20",): "selenium-toned",
    ("Selenium toner", "gold toner", "selenium toner"): "selenium- and gold-toned",
    ("environmental toner",): "toned",
    ("marigold toner",): "toned",
    ("iron toner, blue",): "iron-toned",
    ("",): "toned",
}


@pytest.mark.parametrize("baths", TONED)
def test_toned(baths: tuple[str, ...]) -> None:
    steps = [Step("fix", "rapid fixer with iron", 60), *(Step("tone", bath, None) for bath in baths)]
    assert toned_of(cast(Any, steps)) == TONED[baths]


def test_the_whole_toning() -> None:
    steps = [Step("tone", "selenium toner 1+20", 120), Step("tone", "", None)]
    assert toning_of(cast(Any, steps)) == "selenium toner 1+20, 2 min; toner not recorded"
