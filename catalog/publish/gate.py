"""The gate in front of the server: only our own addresses, only reading, and the headers every answer carries."""

import logging
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any
from urllib.parse import parse_qsl

from catalog.publish.addresses import is_known
from catalog.publish.answers import Answer
from catalog.publish.pages import Pages
from catalog.publish.policy import POLICY

Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
Application = Callable[[Message, Receive, Send], Awaitable[None]]

log = logging.getLogger(__name__)

EVERY_ANSWER = [
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), geolocation=(), microphone=()"),
]
LONGEST_QUERY = 2000  # bytes behind the "?"
KEPT_HEADERS = {b"content-security-policy", b"content-type", b"location", b"cache-control", b"etag"}


class Gate:
    """An ASGI application around another: lets our own addresses through and answers everything else itself."""

    def __init__(self, inner: Application, pages: Pages) -> None:
        self.inner = inner
        self.pages = pages

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self.inner(scope, receive, send)
            return
        if scope["type"] != "http":
            return  # no web sockets here; returning closes them
        if scope["method"] not in ("GET", "HEAD"):
            answer = Answer(b"Only GET and HEAD are answered here.\n", 405, "text/plain", {"Allow": "GET, HEAD"})
        elif not allowed(scope):
            answer = self.pages.missing()
        else:
            answer = await self.ask(scope, receive)
        await give(answer, scope, send)

    async def ask(self, scope: Message, receive: Receive) -> Answer:
        """What the application inside answers; our own pages in place of its own words for missing and failed."""
        # Cookies and tokens mean nothing here. Without them nobody can be anybody else than a passer-by.
        plain = {**scope, "method": "GET", "headers": [pair for pair in scope["headers"] if pair[0] == b"host"]}
        status, headers, body = 500, {}, bytearray()

        async def collect(message: Message) -> None:
            nonlocal status, headers
            if message["type"] == "http.response.start":
                status = message["status"]
                headers = {bytes(name).lower(): bytes(value) for name, value in message.get("headers", [])}
            else:
                body.extend(message.get("body", b""))

        try:
            await self.inner(plain, receive, collect)
        except Exception:  # whatever went wrong inside, the visitor gets a page and the log gets the reason
            log.exception("a page failed: %s", scope["path"])
            return self.pages.failed()
        if status >= 500:
            return self.pages.failed()
        if status not in (200, 301):
            return self.pages.missing()
        kept = {name.decode(): value.decode("latin-1") for name, value in headers.items() if name in KEPT_HEADERS}
        return Answer(bytes(body), status, kept.pop("content-type", "text/plain"), kept)


def allowed(scope: Message) -> bool:
    """Whether a request asks for one of our addresses, unescaped, and with nothing the server inside would act on."""
    raw = scope.get("raw_path") or scope["path"].encode()
    path, _, _ = raw.partition(b"?")
    if not path.isascii() or b"%" in path or path.decode("ascii") != scope["path"] or not is_known(scope["path"]):
        return False
    asked = scope.get("query_string", b"")
    if len(asked) > LONGEST_QUERY:
        return False
    if not asked:
        return True
    try:
        keys = [key for key, _ in parse_qsl(asked.decode("latin-1"), keep_blank_values=True, max_num_fields=20)]
    except ValueError:
        return False
    # Other unknown words are harmless: links get them added on their way (by mail programs, for instance).
    return not any(key.startswith("_") or key.lower() == "sql" for key in keys)


def lower(headers: dict[str, str]) -> dict[str, str]:
    """Headers with their names in small letters."""
    return {name.lower(): value for name, value in headers.items()}


async def give(answer: Answer, scope: Message, send: Send) -> None:
    """Send an answer with the headers every answer carries; no body for HEAD or where the browser has it already."""
    status, body = answer.status, answer.body
    headers = [(b"content-type", answer.content_type.encode()), *EVERY_ANSWER]
    etag = ""
    for name, value in {"content-security-policy": POLICY, **lower(answer.headers)}.items():
        headers.append((name.encode(), value.encode("latin-1")))
        if name == "etag":
            etag = value
    if status == 200 and etag:
        for name, value in scope["headers"]:
            if name == b"if-none-match" and etag in value.decode("latin-1"):
                status, body = 304, b""
    if status != 304:
        headers.append((b"content-length", str(len(body)).encode()))
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": b"" if scope["method"] == "HEAD" else body})
