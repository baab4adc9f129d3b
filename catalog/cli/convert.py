"""Old units at the command line: convert."""

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, output_options

QUANTITY = Operand(
    "quantity", "--quantity", "QUANTITY", "such as “30 gr/fl oz us”, “1 oz ap”, “8 fl oz imp” or “9 %”", many=True
)


@command("convert", QUANTITY, help="What an old weight, volume or strength is in metric units, and back.")
@output_options
def convert_command(desk: Desk, quantity: tuple[str, ...]) -> None:
    from catalog.old_units import convert

    found = convert(" ".join(quantity))
    if desk.output:
        unit = {"weight": "mg", "volume": "ml", "strength": "g/l"}[found.kind]
        desk.show([{"typed": found.typed, "value": float(found.value), "unit": unit}])
        return
    others = [other for other in (found.text(), *found.in_old_units()) if other != found.typed]
    desk.say(" = ".join([found.typed, *others]))
