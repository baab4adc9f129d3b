"""Fixing in the cold: how much longer it takes, in words, as far down as there is a figure."""

from catalog.formulas.fixing import COLDEST, fixing_factor
from catalog.quantities import format_temperature

SOURCE = "US Army TM 11-2323"


def fixing_time(celsius: int) -> list[str]:
    """What a temperature in thousandths of a degree does to the time of fixing; nothing from 20 °C up."""
    shown, coldest = format_temperature(celsius), round(COLDEST * 1_000)
    if celsius < coldest:
        return [
            f"At {shown} no figure is published for fixing: none is below {format_temperature(coldest)} ({SOURCE})."
        ]
    factor = fixing_factor(celsius / 1_000)
    return [f"At {shown} fixing takes {factor:.1f} times as long as at 20 °C ({SOURCE})."] if factor > 1 else []
