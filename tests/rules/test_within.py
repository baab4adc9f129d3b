"""Within a routine: one table of what it asks, what was done, and why that is not within it."""

import pytest

from catalog.records.loads import Place, Wet
from catalog.records.routines import Manner, Terms
from catalog.rules.within import Stages, vouches, worked

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
    assert (why in found.why_not) if why else not found.why_not, found.why_not


def test_a_strip_vouches_for_what_was_worked_about_as_long() -> None:
    ours = Stages(60, 0, 0, 3600)
    assert vouches(ours, ours) and vouches(Stages(30, 0, 0, 1800), ours)
    assert vouches(Stages(66, 0, 0, 3960), ours)
    assert not vouches(Stages(67, 0, 0, 3600), ours)
    assert not vouches(Stages(60, 0, 0, 3961), ours)
