"""The demo: an invented photographer's catalog, typed in line by line through the real commands."""

import shlex
import tomllib
from datetime import datetime
from pathlib import Path

import click

from catalog.cli import start
from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command
from catalog.errors import TirageError
from catalog.resources import resource


class DemoLineError(TirageError):
    """A line of the demo that was refused."""

    def __init__(self, line: str, reason: str) -> None:
        super().__init__(f"The demo stopped at “tirage {line}”: {reason}")


@command("demo", Operand("folder", "--folder", "DIR", "a new or empty folder"))
def demo_command(desk: Desk, folder: str) -> None:
    """Build the demo catalog in a new folder, with every kind of paper in out/ and a public copy in public/."""
    from catalog.cli.main import tirage

    target = Path(folder)
    script = sorted(resource("demo_catalog").glob("[0-9]*.toml"))
    days = sorted(
        (day for file in script for day in tomllib.loads(file.read_text(encoding="utf-8"))["day"]),
        key=lambda day: (str(day["on"]), str(day.get("at", ""))),
    )
    lines = [(_clock(day), str(line)) for day in days for line in day["do"]]
    scene = tomllib.loads((resource("demo_catalog") / "scene.toml").read_text(encoding="utf-8"))
    desk.person = scene["artist"]["artist"]
    desk.set_clock(lines[0][0])
    with desk.counted(lines, "Typing the demo") as typed, desk.beginning(target) as work:
        start.furnish(desk, work, target, **scene["artist"])
        desk.seal(work)
        _draw_pictures(target)
        with desk.replaying(target, work.connection):
            for now, line in typed:
                desk.set_clock(now)
                _type(tirage, desk, line, target)
        work.now = desk.now
    _papers(tirage, target, scene["papers"], desk.person)
    _tell(desk, target, folder)


def _type(tirage: click.Group, desk: Desk, line: str, target: Path) -> None:
    words = [word.replace("{drawn}", str(target / "pictures" / "drawn")) for word in shlex.split(line)]
    try:
        tirage.main(words, prog_name="tirage", standalone_mode=False, obj=desk)
    except (TirageError, click.ClickException) as problem:
        reason = problem.sentence if isinstance(problem, TirageError) else problem.format_message()
        raise DemoLineError(line, reason) from problem


def _clock(day: dict[str, object]) -> datetime:
    hour = str(day.get("at", "10:00"))
    return datetime.fromisoformat(f"{day['on']}T{hour}:00").astimezone()


def _draw_pictures(target: Path) -> None:
    from catalog import demo_pictures

    folder = target / "pictures" / "drawn"
    folder.mkdir(parents=True)
    for name in demo_pictures.names():
        demo_pictures.draw(name).save(folder / f"{name}.jpg", quality=88)


def _papers(tirage: click.Group, target: Path, lines: list[str], person: str) -> None:
    """Write one of every kind of document, and the public copy, by the commands a person would type."""
    quiet = Desk(target)
    quiet.quiet, quiet.person = True, person
    for line in lines:
        _type(tirage, quiet, line, target)


def _tell(desk: Desk, target: Path, folder: str) -> None:
    with Desk(target).reading() as connection:
        counts = {
            noun: connection.execute(f"SELECT count(*) FROM {noun}").fetchone()[0]
            for noun in ("negative", "edition", "print", "certificate")
        }
    desk.say("Made " + ", ".join(f"{count} {noun}s" for noun, count in counts.items()) + f" in {folder}.")
    desk.say(f"Papers in {folder}/out: " + ", ".join(sorted(file.name for file in (target / "out").iterdir())))
    desk.say(
        f"Public copy in {folder}/public.\nTry next:\n  tirage --catalog {folder} due\n"
        f"  tirage --catalog {folder} print show 3\n  tirage --catalog {folder} browse"
    )
