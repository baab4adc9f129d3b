"""How long a soak is: TIRAGE_SOAK=short for a round that continuous integration can wait for."""

import os


def rounds(long: int, short: int) -> int:
    """So many rounds, or the few of a short round."""
    return short if os.environ.get("TIRAGE_SOAK") == "short" else long
