"""Pairs of work timed in turn, A B A B, so that a machine whose speed drifts does not decide the ratio."""

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Row:
    """One line of the table: what, against what, the median ratio, and the target it must hold."""

    work: str
    against: str
    ratio: float
    target: float
    at_least: bool = False

    @property
    def holds(self) -> bool:
        """Whether the ratio keeps its target."""
        return self.ratio >= self.target if self.at_least else self.ratio <= self.target


def ratio(ours: Callable[[], object], theirs: Callable[[], object], rounds: int) -> float:
    """The median of ours / theirs over interleaved rounds, after one round that is not counted."""
    ours()
    theirs()
    found = []
    for _ in range(rounds):
        began = time.perf_counter()
        ours()
        middle = time.perf_counter()
        theirs()
        found.append((middle - began) / (time.perf_counter() - middle))
    return statistics.median(found)


def table(rows: list[Row]) -> str:
    """The rows as a table with a verdict each."""
    lines = [f"{'work':<52} {'against':<44} {'ratio':>7} {'target':>9}  verdict"]
    for row in rows:
        sign = "≥" if row.at_least else "≤"
        lines.append(
            f"{row.work:<52} {row.against:<44} {row.ratio:>7.2f} {sign + f' {row.target:g}':>9}  "
            f"{'holds' if row.holds else 'MISSED'}"
        )
    return "\n".join(lines)
