"""What does not show is named: signs that steer a terminal, turn the direction, or are not seen."""

import pytest

from catalog import codes
from catalog.plain_text import shown, unseen

# Unicode 15, categories Cc, Cf, Zl, Zp, and letters and marks that are empty.
NOT_SEEN = "\x00\n\x1b\x7f\x85\x9b\xad\u061c\u200b\u200d\u200f\u2028\u202e\u2060\u2069\ufeff\ufe0f\u3164\U000e0041"


@pytest.mark.parametrize("sign", NOT_SEEN)
def test_what_does_not_show_is_named(sign):
    assert unseen(f"Low{sign}water") == sign
    assert shown(f"Low{sign}water") == f"Low<U+{ord(sign):04X}>water"


@pytest.mark.parametrize(
    "text", ["Low water", "Étude n\u00ba 2", "Žofie Đurđević", "Ἀθῆναι", "Вода", "10\u202f×\u00a012", "x\u0301"]
)
def test_what_shows_stays(text):
    assert unseen(text) == "" and shown(text) == text


@pytest.mark.parametrize("text", ["-x", ".hidden", "--", "-2019"])
def test_a_code_of_ones_own_begins_with_a_letter_or_figure(text):
    with pytest.raises(codes.OwnCodeError) as refusal:
        codes.own(text)
    assert "a letter or digit first" in refusal.value.sentence
