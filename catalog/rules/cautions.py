"""Cautions: one line for the steps that can hurt, deferring to the safety data sheet."""

SHEET = "Read the safety data sheet of each product and follow local rules first."

# (kind of step, word in the name of the bath or "" for any, what it says)
CAUTIONS = (
    ("fix", "cyanide", "Cyanide is a deadly poison, and acid frees hydrogen cyanide from it; smell is no warning."),
    ("tone", "selenium", "Selenium toner is poisonous and may give off ammonia; it needs gloves and moving air."),
    ("tone", "sulfide", "Sulfide toner gives off hydrogen sulfide, much of it when acid comes near."),
    ("collodion", "", "Collodion holds ether and alcohol: its vapour catches fire far from the bottle."),
    ("sensitize", "", "Silver nitrate burns eyes and skin; it needs eye protection and gloves."),
)  # fmt: skip


def caution(step: str, bath: str = "") -> str:
    """The line to say at a step in a bath of that name, or ""."""
    for kind, word, text in CAUTIONS:
        if kind == step and word in bath.lower():
            return f"Caution: {text} {SHEET}"
    return ""
