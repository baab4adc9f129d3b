"""What is said when items come out of the washer."""

from collections.abc import Sequence

from catalog.quantities import format_duration
from catalog.records.items import shorten
from catalog.records.step_order import instant_text
from catalog.records.washes import Left


def left_text(left: Sequence[Left]) -> list[str]:
    """One line for all that washed alike."""
    alike: dict[tuple[str, int, str], list[Left]] = {}
    for one in left:
        alike.setdefault((one.washer, one.seconds, one.restarted), []).append(one)
    lines = []
    for (washer, seconds, restarted), group in alike.items():
        line = f"{shorten([one.item for one in group])}: out of “{washer}”, washed {format_duration(seconds)}"
        if restarted:
            line += f", counted from {instant_text(restarted)}, when an unwashed item joined"
        lines.append(line + ".")
    return lines
