"""What commands share: operands in short or long form, the options of an event, the options of an output."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

import click

from catalog.cli.desk import EVENT, OUTPUT
from catalog.dates import parse_date
from catalog.errors import NotUnderstood, TirageError

Function = TypeVar("Function", bound=Callable[..., Any])


@dataclass(frozen=True)
class Operand:
    """One thing a command works on: a word in its place, or the same by its option."""

    name: str  # the function's parameter
    flag: str  # the long form, "--items"
    metavar: str  # as shown in usage, "CODES"
    help: str
    required: bool = True
    many: bool = False  # takes all words that are left, as a tuple
    accepts: Callable[[str], bool] | None = None  # an optional operand takes only words that look like it
    anywhere: bool = False  # looks like nothing else, so it may stand among the other words


class OperandCommand(click.Command):
    """A command whose operands may be typed in order, or each by its long option."""

    def __init__(self, *args: Any, operands: Sequence[Operand] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.operands = tuple(operands)
        self.params = [
            click.Argument(["words"], nargs=-1, required=False, metavar=" ".join(map(_usage, self.operands))),
            *(
                click.Option(
                    [operand.flag, operand.name], metavar=operand.metavar, multiple=operand.many, help=operand.help
                )
                for operand in self.operands
            ),
            *self.params,
        ]

    def invoke(self, ctx: click.Context) -> Any:
        words = list(ctx.params.pop("words", ()))
        for operand in self.operands:
            if not (operand.anywhere and operand.accepts) or ctx.params[operand.name] is not None:
                continue
            found = next(filter(operand.accepts, words), None)
            if found is not None:
                ctx.params[operand.name] = found
                words.remove(found)
        for operand in self.operands:
            given = ctx.params[operand.name]
            if given not in (None, ()):
                continue
            if operand.many:
                ctx.params[operand.name] = tuple(words)
                words = []
            elif words and (operand.accepts is None or operand.accepts(words[0])):
                ctx.params[operand.name] = words.pop(0)
            if operand.required and ctx.params[operand.name] in (None, ()):
                raise click.UsageError(f"Missing {operand.metavar} (or {operand.flag}): {operand.help}", ctx)
        if words:
            raise click.UsageError(
                f"“{words[0]}” was not understood here; expected: "
                f"{' '.join(map(_usage, self.operands))}. Put what holds blanks in quotes.",
                ctx,
            )
        return super().invoke(ctx)


def _usage(operand: Operand) -> str:
    text = operand.metavar + ("..." if operand.many else "")
    return text if operand.required else f"[{text}]"


def _keep(store: str, key: str) -> Callable[[click.Context, click.Parameter, Any], Any]:
    def callback(ctx: click.Context, parameter: click.Parameter, value: Any) -> Any:
        if value is not None:
            ctx.meta.setdefault(store, {})[key] = value
        return value

    return callback


class DateAsPersonError(TirageError):
    """A date where the person is told."""

    def __init__(self, typed: str) -> None:
        super().__init__(
            f"“{typed}” reads as a date, and --by says who did it; expected a name. Say when it happened with --on "
            f"DATE, and when something ends with --until DATE."
        )


def _person(ctx: click.Context, parameter: click.Parameter, value: str | None) -> str | None:
    """Who did it, kept for the unit of work. Raises DateAsPersonError."""
    if value is not None and is_date(value):
        raise DateAsPersonError(value)
    _keep(EVENT, "by")(ctx, parameter, value)
    return value


def is_date(text: str) -> bool:
    """Whether a word reads as a date and as no name: April is a name, April 2027 is none."""
    if not any(sign.isdigit() for sign in text):
        return False
    try:
        parse_date(text)
    except NotUnderstood:
        return False
    return True


def event_options(function: Function) -> Function:
    """--on, --at, --by and --note, kept for the unit of work."""
    return _event_options(function, "--by")


def event_options_with_who(function: Function) -> Function:
    """The same where --by is taken by something else: who did it is --who."""
    return _event_options(function, "--who")


def _event_options(function: Function, who: str) -> Function:
    for flag, metavar, text, callback in (
        ("--note", "TEXT", "A remark kept with the record (private).", _keep(EVENT, "note")),
        (who, "NAME", "Who did it (else TIRAGE_BY, else the login name).", _person),
        ("--at", "HH:MM", "At what time.", _keep(EVENT, "at")),
        ("--on", "DATE", "On what date (default: now).", _keep(EVENT, "on")),
    ):
        function = click.option(flag, metavar=metavar, help=text, expose_value=False, callback=callback)(function)
    return function


def output_options(function: Function) -> Function:
    """--json and --csv."""

    def keep(ctx: click.Context, parameter: click.Parameter, value: bool) -> bool:
        if value:
            ctx.meta[OUTPUT] = parameter.name
        return value

    for name, text in (("csv", "Print as CSV; a text that a spreadsheet takes for a formula gets a ' in front."),
                       ("json", "Print as JSON, exactly.")):  # fmt: skip
        function = click.option(f"--{name}", is_flag=True, expose_value=False, callback=keep, help=text)(function)
    return function


def command(name: str, *operands: Operand, **settings: Any) -> Callable[[Callable[..., Any]], OperandCommand]:
    """A command with operands; the desk is its first parameter."""

    def decorate(function: Callable[..., Any]) -> OperandCommand:
        made: OperandCommand = click.command(name, cls=OperandCommand, operands=operands, **settings)(
            click.pass_obj(function)
        )
        return made

    return decorate


def group(name: str, text: str) -> click.Group:
    """A noun whose verbs are commands."""
    return click.Group(name, help=text, short_help=text)


ITEMS = Operand("items", "--items", "CODES", "prints (3, 1-6), plates (n1) or control strips (k1)")
EDITION = Operand("code", "--edition", "CODE", "an edition, such as e1")
PRINTS = Operand("prints", "--prints", "CODES", "prints, such as 3, 1-6 or 1-3,7")
