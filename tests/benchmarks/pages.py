"""The public site's pages over a large copy, against a stock server's pages over the same file, and a bare ASGI page.

All are asked in one process, application by application, without a socket: what is compared is the making of a page.
"""

import asyncio
import sqlite3
from collections.abc import Awaitable, Callable, MutableMapping
from pathlib import Path
from typing import Any

from catalog.publish import addresses, reading
from catalog.publish.pages import Pages
from catalog.publish.reading import DATABASE, PublicCopy
from catalog.publish.site import application
from tests.benchmarks.pairs import Row, ratio

TEMPLATES = Path(__file__).parents[2] / "templates" / "site"
AT_ONCE = 5  # requests of one round, one after another
Message = MutableMapping[str, Any]
Application = Callable[..., Awaitable[None]]


def asking(app: Application, loop: asyncio.AbstractEventLoop, target: str) -> Callable[[], object]:
    """So many requests for one page; it must be found, and have something on it."""
    path, _, asked = target.partition("?")
    scope = {
        "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": "GET", "scheme": "http",
        "path": path, "raw_path": path.encode(), "query_string": asked.encode(), "root_path": "",
        "headers": [(b"host", b"127.0.0.1")], "client": ("127.0.0.1", 1), "server": ("127.0.0.1", 80),
    }  # fmt: skip

    async def once() -> tuple[int, int]:
        status = size = 0

        async def receive() -> Message:
            return {"type": "http.request", "body": b"", "more_body": False}

        async def send(message: Message) -> None:
            nonlocal status, size
            status = message.get("status", status)
            size += len(message.get("body", b""))

        await app(dict(scope), receive, send)
        return status, size

    async def several() -> None:
        for _ in range(AT_ONCE):
            status, size = await once()
            assert status == 200 and size > 500, (target, status, size)

    return lambda: loop.run_until_complete(several())


def bare(folder: Path) -> Application:
    """The print page by one connection, the same queries and the same template, and nothing else around it."""
    copy = PublicCopy(folder)

    async def never(expression: str) -> None:
        raise NotImplementedError

    template = Pages(copy, TEMPLATES, never).environment.get_template("print.html")
    connection = sqlite3.connect(f"{(folder / DATABASE).as_uri()}?mode=ro&immutable=1", uri=True)
    connection.row_factory = sqlite3.Row

    async def page(scope: Message, receive: object, send: Callable[[Message], Awaitable[None]]) -> None:
        code = "P-" + scope["path"].rsplit("/", 1)[1].removeprefix("P-")
        shown = dict(connection.execute(reading.PRINT, (code,)).fetchone())
        steps = list(map(dict, connection.execute(reading.STEPS, (code,))))
        certificates = list(map(dict, connection.execute(reading.CERTIFICATES_OF, (code,))))
        path = addresses.path_of("P", code)
        body = template.render(print=shown, steps=steps, certificates=certificates, path=path).encode()
        headers = [(b"content-type", b"text/html; charset=utf-8")]
        await send({"type": "http.response.start", "status": 200, "headers": headers})
        await send({"type": "http.response.body", "body": body})

    return page


def rows(rounds: int, folder: Path, prints: int) -> list[Row]:
    """Three pages of the public copy in `folder`, which holds so many prints."""
    from datasette.app import Datasette

    code = f"P-{prints // 2:06d}"
    loop = asyncio.new_event_loop()
    try:
        ours = application(folder, TEMPLATES)
        stock = Datasette([], immutables=[str(folder / DATABASE)])
        theirs = stock.app()
        database = DATABASE.removesuffix(".db")
        word = f"water {prints // 100}"
        pages = (
            ("print page", addresses.path_of("P", code), f"/{database}/print/{code}", 3),
            ("browse page", f"/P?after={prints // 2}", f"/{database}/print", 8),
            (
                "search page",
                f"/search?q={word.replace(' ', '+')}",
                f"/{database}/search?_search={word.replace(' ', '+')}",
                10,
            ),
        )
        found = [
            Row(
                f"{name}, requests a second, {prints:,} prints",
                "a stock page over the same rows",
                1 / ratio(asking(ours, loop, path), asking(theirs, loop, other), rounds),
                target,
                at_least=True,
            )
            for name, path, other, target in pages
        ]
        path = addresses.path_of("P", code)
        against = 1 / ratio(asking(ours, loop, path), asking(bare(folder), loop, path), rounds)
        return [
            *found,
            Row("print page, requests a second", "a bare page, same queries and template", against, 0.5, at_least=True),
        ]
    finally:
        loop.close()
