"""Names of parties: when one that is typed is likely another that is there already, misspelled."""

SHORT = 5  # letters of a first word in which one other letter makes another name: Anna and Anne


def misspelled(typed: str, known: str) -> bool:
    """Whether a name is likely a slip for a known one: its words in another order, or a letter or two amiss.

    Other initials are other people, and so are short first words that differ by a letter.
    """
    ours, theirs = _words(typed), _words(known)
    if sorted(ours) == sorted(theirs):
        return True
    if not ours or [word[0] for word in ours] != [word[0] for word in theirs]:
        return False
    first, other = ours[0], theirs[0]
    if first != other and len(first) == len(other) and len(first) <= SHORT:
        return False
    amiss = [distance(one, two) for one, two in zip(ours, theirs, strict=True)]
    allowed = [2 if len(word) > SHORT + 2 else 1 if len(word) > 2 else 0 for word in theirs]
    return sum(amiss) <= 2 and all(got <= most for got, most in zip(amiss, allowed, strict=True))


def distance(one: str, other: str) -> int:
    """How many letters differ, are missing, too many or changed with their neighbour (optimal string alignment)."""
    rows = [list(range(len(other) + 1))]
    for i, letter in enumerate(one, 1):
        row = [i]
        for j, theirs in enumerate(other, 1):
            best = min(rows[-1][j] + 1, row[-1] + 1, rows[-1][j - 1] + (letter != theirs))
            if i > 1 and j > 1 and letter == other[j - 2] and one[i - 2] == theirs:
                best = min(best, rows[-2][j - 2] + 1)
            row.append(best)
        rows.append(row)
    return rows[-1][-1]


def _words(name: str) -> list[str]:
    return [word for word in name.casefold().replace(".", " ").replace(",", " ").split() if word]
