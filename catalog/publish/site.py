"""The public site: a locked-down server over one public copy, with our own pages in front."""

import asyncio
import logging
import socket
import sqlite3
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import uvicorn
from datasette import Response, hookimpl
from datasette.app import Datasette
from datasette.database import QueryInterrupted
from datasette.plugins import pm

from catalog.errors import TirageError
from catalog.publish.addresses import ADDRESSES
from catalog.publish.gate import Application, Gate
from catalog.publish.pages import Pages
from catalog.publish.reading import PublicCopy, Row
from catalog.publish.search import FIND, MOST_RESULTS

log = logging.getLogger(__name__)

LOOPBACK = {"127.0.0.1": socket.AF_INET, "localhost": socket.AF_INET, "::1": socket.AF_INET6}
SEARCH_MILLISECONDS = 800  # longest a search may take before it is called too broad

# Third line of defence, behind the allow-listed database and the gate: even a page of the server that was reached
# by some unknown way gives no SQL, no file, no stream and no facets.
SETTINGS = {
    "default_allow_sql": False,
    "allow_download": False,
    "allow_csv_stream": False,
    "allow_facet": False,
    "suggest_facets": False,
    "allow_signed_tokens": False,
    "max_returned_rows": 100,
    "default_page_size": 50,
    "sql_time_limit_ms": 1000,
    "num_sql_threads": 2,
    "trace_debug": False,
    "template_debug": False,
}


class NotLoopback(TirageError):  # noqa: N818 - reads as a sentence where it is raised
    """A host that is not this machine."""

    def __init__(self, host: str) -> None:
        self.host = host
        super().__init__(
            f"“{host}” is not this machine; expected 127.0.0.1, ::1 or localhost. "
            "To show the catalog to others, put a web server in front of it."
        )


class PortTaken(TirageError):  # noqa: N818 - reads as a sentence where it is raised
    """A port that could not be had."""

    def __init__(self, host: str, port: int, reason: str) -> None:
        self.host, self.port = host, port
        super().__init__(
            f"port {port} of {host} cannot be used ({reason}); expected a free port from 1024 to 65535. "
            "Stop what uses it, or choose another port; 0 takes any that is free."
        )


class NoTemplates(TirageError):  # noqa: N818 - reads as a sentence where it is raised
    """A folder of templates that is not there or not whole."""

    def __init__(self, templates: Path) -> None:
        self.templates = templates
        super().__init__(
            f"“{templates}” holds no templates of the site; expected base.html, style.css and a file for each page. "
            "Copy the folder that came with the program and change the copy."
        )


class PublicSite(Datasette):
    """The server over one public copy. Only sites of this class are touched by the hooks below."""

    def __init__(self, copy: PublicCopy, templates: Path) -> None:
        # The server asks for its routes while it is being made, so our pages come first.
        self.pages = Pages(copy, templates, self.find)
        super().__init__([], immutables=[str(copy.database)], settings=SETTINGS, cache_headers=False)

    async def find(self, expression: str) -> list[Row] | None:
        """Rows for an FTS expression, off the event loop and under a time limit; None when that ran out."""
        database = self.get_database()
        try:
            found = await database.execute(FIND, [expression, MOST_RESULTS], custom_time_limit=SEARCH_MILLISECONDS)
        except QueryInterrupted:
            return None
        except sqlite3.OperationalError:
            return []  # nothing a person types may raise; `query` quotes everything, this is the second net
        return [dict(zip(found.columns, row, strict=True)) for row in found.rows]


class Hooks:
    """What the server asks us: who may see its own pages (nobody), which pages are ours, and what stands in front."""

    @staticmethod
    @hookimpl(tryfirst=True)
    def permission_allowed(datasette: Datasette) -> bool | None:
        return False if isinstance(datasette, PublicSite) else None

    @staticmethod
    @hookimpl
    def register_routes(datasette: Datasette) -> list[tuple[str, Callable[..., Any]]]:
        if not isinstance(datasette, PublicSite):
            return []
        return [(f"^{address}$", view(datasette.pages, name)) for name, address in ADDRESSES.items()]

    @staticmethod
    @hookimpl(trylast=True)
    def asgi_wrapper(datasette: Datasette) -> Callable[[Application], Application]:
        if not isinstance(datasette, PublicSite):
            return lambda inner: inner
        pages = datasette.pages
        return lambda inner: Gate(inner, pages)


def view(pages: Pages, name: str) -> Callable[..., Any]:
    """The server's kind of function for one of our pages."""

    async def answer(request: Any) -> Response:
        try:
            given = await pages.answer(name, request.url_vars, request.query_string)
        except Exception:  # the server inside would print the reason with all its values; ours goes to the log only
            log.exception("the page “%s” failed at %s", name, request.path)
            given = pages.failed()
        return Response(given.body, given.status, given.headers, given.content_type)

    return answer


pm.register(Hooks, name="tirage public site")


def application(folder: Path, templates: Path) -> Application:
    """The ASGI application that serves the public copy in `folder` with the pages in `templates`.

    Raises NoPublicCopy when the folder holds no readable public copy, NoTemplates when the pages are not there.
    """
    for name in ("base.html", "print.html", "style.css", "check.js", "favicon.svg"):
        if not (templates / name).is_file():
            raise NoTemplates(templates)
    built: Application = PublicSite(PublicCopy(folder), templates).app()
    return built


class AnnouncingServer(uvicorn.Server):
    """A server that calls back once it answers."""

    def __init__(self, config: uvicorn.Config, announce: Callable[[], None]) -> None:
        super().__init__(config)
        self.announce = announce

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.started and not self.should_exit:
            self.announce()


def serve(
    folder: Path, templates: Path, port: int, host: str = "127.0.0.1", ready: Callable[[str], None] = lambda url: None
) -> None:
    """Serve until interrupted; `ready(url)` is called once, when the first page can be had. Prints nothing.

    Port 0 takes any free port. One process with one event loop: the pages are small and read from one file.
    Raises NotLoopback, PortTaken, NoPublicCopy, NoTemplates; Ctrl-C ends it and comes out as KeyboardInterrupt.
    """
    if host not in LOOPBACK:
        raise NotLoopback(host)
    built = application(folder, templates)
    try:
        listener = socket.create_server(("127.0.0.1" if host == "localhost" else host, port), family=LOOPBACK[host])
    except (OSError, OverflowError) as problem:
        raise PortTaken(host, port, getattr(problem, "strerror", None) or str(problem)) from problem
    shown = f"[{host}]" if ":" in host else host
    url = f"http://{shown}:{listener.getsockname()[1]}/"
    config = uvicorn.Config(
        built, log_config=None, log_level="critical", access_log=False, server_header=False, ws="none"
    )
    server = AnnouncingServer(config, lambda: ready(url))
    with suppress(asyncio.CancelledError), listener:
        server.run(sockets=[listener])
