"""Within a routine: one table of what it asks, what was done, and why that is not within it."""

import pytest

from catalog.records.loads import Place, Wet
from catalog.records.routines import Manner, Terms
from catalog.rules.within import Bath, Stages, vouches, worked

FIXER, AID, TONER = "rapid fixer 1+4", "sulfite", "selenium toner 1+20"
TERMS = Terms(1, FIXER, 60, None, "", None, "", 1, 3600, None, None, None)
FULL = TERMS._replace(second_fix_seconds=60, wash_aid=AID, wash_aid_seconds=180, toner=TONER)
ENOUGH = ("fix 60", "wash 3600")
FULL_WAY = ("fix 60", "fix 60", "wash 600", "tone 120", "wash aid 180", "wash 3600")
# case -> (what the routine asks, what was done, a word of why it is not within, "" where it is)
WITHIN: dict[str, tuple[Terms, tuple[str, ...], str]] = {
    "to the letter": (TERMS, ENOUGH, ""),
    "longer in everything": (TERMS, ("fix 90", "wash 5400"), ""),
    "rinsed and washed more": (TERMS, ("fix 60", "rinse 300", "wash 600", "rinse 60", "wash 3600"), ""),
    "in two washes": (TERMS, ("fix 60", "wash 1800", "wash 1800"), ""),
    "developed before": (TERMS, ("develop 120", "stop 30", *ENOUGH), ""),
    "the name in another case": (TERMS._replace(fixer="Rapid  FIXER 1+4"), ENOUGH, ""),
    "everything": (FULL, FULL_WAY, ""),
    "wash aid before toning": (FULL, ("fix 60", "fix 60", "wash aid 180", "tone 120", "wash 3600"), ""),
    "nothing": (TERMS, (), "no fixing is recorded"),
    "fixed too short": (TERMS, ("fix 45", "wash 3600"), "fixed 45 s; the routine wants 1 min"),
    "fixed for a time not recorded": (TERMS, ("fix", "wash 3600"), "fixed for a time not recorded"),
    "fixed once of two": (FULL, ("fix 60", *FULL_WAY[2:]), "fixed once; the routine wants twice"),
    "fixed twice of one": (TERMS, ("fix 60", *ENOUGH), "fixed twice; the routine wants once"),
    "second fix too short": (FULL, ("fix 60", "fix 30", *FULL_WAY[2:]), "fixed a second time 30 s"),
    "another fixer": (TERMS._replace(fixer="plain hypo"), ENOUGH, "the routine wants “plain hypo”"),
    "fixed after toning": (
        FULL, ("fix 60", "tone 120", "fix 60", "wash aid 180", "wash 3600"), "the routine fixes first",
    ),
    "no wash aid": (FULL, ("fix 60", "fix 60", "tone 120", "wash 3600"), "no wash aid"),
    "a wash aid it has not": (TERMS, ("fix 60", "wash aid 180", "wash 3600"), "the routine has none"),
    "wash aid too short": (FULL, (*FULL_WAY[:4], "wash aid 60", "wash 3600"), "wash aid used 1 min"),
    "not toned": (FULL, ("fix 60", "fix 60", "wash aid 180", "wash 3600"), "not toned"),
    "toned where it is not": (TERMS, ("fix 60", "tone 120", "wash 3600"), "the routine does not tone"),
    "developed again": (TERMS, ("fix 60", "develop 60", "wash 3600"), "development came after the fixing"),
    "washed too short": (TERMS, ("fix 60", "wash 3540"), "washed 59 min after the last chemical step"),
    "washed before the toning only": (FULL, (*FULL_WAY[:5],), "no wash is recorded after the last chemical step"),
    "washed long, then toned and washed short": (FULL, (*FULL_WAY[:5], "wash 600"), "washed 10 min"),
    "another washer": (TERMS, ("fix 60", "wash 600 washer 2", "wash 3600"), "washed in another washer"),
    "washer not recorded": (TERMS, ("fix 60", "wash 3600 washer"), "the washer of a wash is not recorded"),
    "enough changes": (TERMS._replace(changes=4), ("fix 60", "wash 1800 changes 2", "wash 1800 changes 2"), ""),
    "too few changes": (TERMS._replace(changes=4), ("fix 60", "wash 3600 changes 3"), "3 changes of water"),
    "changes not recorded": (TERMS._replace(changes=4), ENOUGH, "no changes of water"),
    "warm enough": (TERMS._replace(celsius=18_000), ("fix 60", "wash 3600 celsius 18000"), ""),
    "too cold": (TERMS._replace(celsius=18_000), ("fix 60", "wash 3600 celsius 17900"), "washed at 17.9 °C"),
    "temperature not recorded": (TERMS._replace(celsius=18_000), ENOUGH, "temperature is not recorded"),
    "as many sheets": (TERMS._replace(sheets=8), ("fix 60", "wash 3600 sheets 8"), ""),
    "too many sheets": (TERMS._replace(sheets=8), ("fix 60", "wash 3600 sheets 9"), "9 sheets in one wash"),
    "a day not exact": (TERMS, ("fix 60 loose", "wash 3600"), "the day of the fixing is not exact"),
}  # fmt: skip
BATHS = {"fix": FIXER, "tone": TONER, "wash aid": AID}


def wet(number: int, words: str) -> tuple[Wet, Manner]:
    """One step of a table: “wash 600 washer 2”, “fix 60”, “wash aid 180”."""
    kind = "wash aid" if words.startswith("wash aid") else words.split()[0]
    parts = words.removeprefix(kind).split()
    seconds = int(parts.pop(0)) if parts else None
    said = dict(zip(parts[::2], [*parts[1::2], ""], strict=False))
    one = Wet(number, kind, "2026-03-04", Place("2026-03-04", None, number), seconds, "", "", ())
    one.latest = "2026-03-31" if "loose" in said else ""
    washer = said.get("washer", "1") if kind == "wash" else ""
    manner = Manner(
        BATHS.get(kind, ""),
        int(washer) if washer else None,
        int(said["celsius"]) if "celsius" in said else None,
        int(said.get("changes", 0)),
        int(said.get("sheets", 1)),
    )
    return one, manner


@pytest.mark.parametrize("case", WITHIN)
def test_what_is_within(case: str) -> None:
    terms, done, why = WITHIN[case]
    made = [wet(number, words) for number, words in enumerate(done, 1)]
    found = worked(terms, [one for one, _ in made], {one.step: manner for one, manner in made})
    said = found.why_not or found.loose
    assert (why in said) if why else not said, said


def stages(words: str, changes: int = 0, celsius: int | None = None) -> Stages:
    """“fix 60, 600 wash aid 180, 3600”: baths, each after so much water, and the last wash."""
    *baths, wash = words.split(", ")
    found = []
    for bath in baths:
        water, rest = (bath.split(" ", 1)) if bath[0].isdigit() else ("0", bath)
        kind, seconds = rest.rsplit(" ", 1)
        found.append(Bath(kind, int(seconds), int(water)))
    return Stages(tuple(found), int(wash), changes, celsius)


WAY = "fix 60, 600 wash aid 180, 60 tone 120, 3600"
# a piece, what it should vouch for, whether it does; a tenth is the bound, and no more is known than is recorded
VOUCHES: dict[str, tuple[Stages, Stages, bool]] = {
    "the same": (stages(WAY), stages(WAY), True),
    "washed less": (stages("fix 60, 1800"), stages("fix 60, 3600"), True),
    "washed a tenth more": (stages("fix 60, 3960"), stages("fix 60, 3600"), True),
    "washed more": (stages("fix 60, 3961"), stages("fix 60, 3600"), False),
    "fixed a tenth longer": (stages("fix 66, 3600"), stages("fix 60, 3600"), True),
    "fixed longer": (stages("fix 67, 3600"), stages("fix 60, 3600"), False),
    "fixed shorter": (stages("fix 60, 3600"), stages("fix 67, 3600"), False),
    "toned shorter": (stages("fix 60, tone 10, 3600"), stages("fix 60, tone 2400, 3600"), False),
    "toned for a time not recorded": (stages("fix 60, tone 120, 3600"), stages("fix 60, tone 0, 3600"), False),
    "less wash aid": (stages("fix 60, wash aid 60, 3600"), stages("fix 60, wash aid 180, 3600"), True),
    "more wash aid": (stages("fix 60, wash aid 180, 3600"), stages("fix 60, wash aid 60, 3600"), False),
    "washed before the wash aid": (
        stages("fix 60, 18000 wash aid 180, 3600"), stages("fix 60, 600 wash aid 180, 3600"), False,
    ),
    "in another order": (
        stages("fix 60, tone 120, wash aid 180, 3600"), stages("fix 60, wash aid 180, tone 120, 3600"), False,
    ),
    "more changes": (stages("fix 60, 3600", 12), stages("fix 60, 3600", 3), False),
    "fewer changes": (stages("fix 60, 3600", 3), stages("fix 60, 3600", 12), True),
    "changes not recorded": (stages("fix 60, 3600"), stages("fix 60, 3600", 3), True),
    "2 degrees warmer": (stages("fix 60, 3600", 0, 20_000), stages("fix 60, 3600", 0, 18_000), True),
    "warmer": (stages("fix 60, 3600", 0, 20_000), stages("fix 60, 3600", 0, 17_999), False),
    "colder": (stages("fix 60, 3600", 0, 10_000), stages("fix 60, 3600", 0, 20_000), True),
    "warm, and the other's not recorded": (stages("fix 60, 3600", 0, 20_000), stages("fix 60, 3600"), False),
    "not recorded": (stages("fix 60, 3600"), stages("fix 60, 3600", 0, 8_000), True),
}  # fmt: skip


@pytest.mark.parametrize("case", VOUCHES)
def test_what_a_clean_piece_vouches_for(case: str) -> None:
    piece, other, does = VOUCHES[case]
    assert vouches(piece, other) is does
