"""One question and its answer, on a terminal or from a pipe."""

import sys
from collections.abc import Callable
from typing import TypeVar

import click

from catalog.errors import NotUnderstood, TirageError
from catalog.plain_text import named, shown, unseen
from catalog.rules.sessions.day_sheet import LONGEST_TEXT, LineError

Value = TypeVar("Value")


def asked(question: str, default: str, read: Callable[[str], Value]) -> Value:
    """One answer, read; asked again on a terminal when it is not understood. Without a default one must be typed.

    Answers from a pipe are refused at once: what follows would answer other questions than were asked.
    """
    while True:
        offered = f" [{shown(default)}]" if default else ""
        text = click.prompt(question + offered, default=default, show_default=False).strip()
        try:
            sign = unseen(text)
            if sign or len(text) > LONGEST_TEXT:
                wrong = f"has the sign {named(sign)} in it" if sign else f"has {len(text)} signs"
                raise NotUnderstood(
                    "an answer", shown(text[:40]), f"plain text of at most {LONGEST_TEXT} signs; it {wrong}"
                )
            return read(text)
        except TirageError as refusal:
            if not sys.stdin.isatty():
                raise LineError(question, refusal.sentence) from None
            click.echo(shown(refusal.sentence), err=True)
