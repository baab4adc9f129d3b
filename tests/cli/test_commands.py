"""Every command has help that says what it does, and the table of commands tells the truth."""

import click
import pytest

from catalog.cli.main import COMMANDS, tirage

NAMES = sorted(COMMANDS)


def walk(command: click.Command, path: str) -> list[tuple[str, click.Command]]:
    """A command and all below it."""
    found = [(path, command)]
    if isinstance(command, click.Group):
        for name, below in command.commands.items():
            found += walk(below, f"{path} {name}")
    return found


@pytest.mark.parametrize("name", NAMES)
def test_every_command_and_its_help(name: str) -> None:
    command = tirage.get_command(click.Context(tirage), name)
    assert command is not None and command.name == name
    for path, one in walk(command, name):
        text = one.get_help(click.Context(one, info_name=path))
        assert one.help, path
        assert text.startswith("Usage:"), path


def test_help_imports_no_command() -> None:
    import subprocess
    import sys

    script = (
        "import sys\nfrom catalog.cli.main import run\nrun(['--help'])\n"
        "print([m for m in ('catalog.cli.sell', 'pydantic', 'sqlite_utils', 'reportlab', 'datasette', 'PIL',"
        " 'cryptography', 'jinja2', 'qrcode', 'pikepdf') if m in sys.modules])"
    )
    out = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout
    assert out.strip().endswith("[]")


def test_reading_commands_import_nothing_heavy(demo_folder) -> None:  # type: ignore[no-untyped-def]
    import subprocess
    import sys

    script = (
        "import sys\nfrom catalog.cli.main import run\n"
        f"run(['--catalog', {str(demo_folder)!r}, 'where', 'n1'])\n"
        f"run(['--catalog', {str(demo_folder)!r}, 'print', 'show', '1'])\n"
        "print([m for m in ('pydantic', 'sqlite_utils', 'reportlab', 'datasette', 'PIL', 'cryptography', 'shutil',"
        " 'jinja2', 'qrcode', 'pikepdf', 'openpyxl', 'catalog.whole_files') if m in sys.modules])"
    )
    out = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout
    assert out.strip().endswith("[]")
