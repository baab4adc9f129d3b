"""A certificate that stands while the records say otherwise by now: verifying it says so."""

from pathlib import Path

from tests.cli.conftest import Tirage


def test_what_the_records_say_otherwise_since(studio: Tirage) -> None:
    for line in (
        "strip --paper warm12 --on 2026-03-06",
        "sign 1 --on 2026-03-10",
        "certificate issue 1 --on 2026-03-11",
    ):
        assert studio(line).status == 0, line
    (paper,) = Path("out").glob("certificate-*.pdf")
    before = studio("certificate", "verify", str(paper))
    assert before.status == 0 and "otherwise since" not in before.out
    assert studio("test 1 hypo 9ug/cm2 --method laboratory --on 2026-03-20").status == 0
    after = studio("certificate", "verify", str(paper))
    assert after.status == 0 and "valid as issued" in after.out, "what was signed is right for its day"
    line = next(one for one in after.out.splitlines() if "otherwise since" in one)
    assert line.strip().startswith("The records say otherwise since: hypo left “Recorded: ")
    assert "now “Failed: " in line and line.endswith("(tirage check).")
