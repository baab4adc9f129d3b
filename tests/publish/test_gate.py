"""Nothing but our own addresses answers, only for reading, and with the headers that keep a page harmless."""

import asyncio
from pathlib import Path

import pytest

from catalog.publish.site import application
from tests.publish.public_sample import build_public_copy

TEMPLATES = Path(__file__).parents[2] / "templates" / "site"

HOSTILE = """
/-/databases /-/versions /-/plugins /-/metadata /-/settings /-/threads /-/config /-/actor /-/messages /-/permissions
/-/allow-debug /-/patterns /-/logout /-/auth-token /-/create-token /-/static/app.css /-/static-plugins/x/y /-/ /-
/public /public.json /public.db /public/print /public/print.json /public/print.csv /public/print?_labels=on
/public/print?_facet=edition /public/print?code__gt=P /public/print?_sort=nosuch /public/print/P-000001
/public/print/P-000001.json /public/search /public/search_data /public/search_data.json /public/search_idx.json
/public/search_docsize.json /public/search_config.json /public/sqlite_schema.json /public?sql=select+1
/public.json?sql=select+1 /?sql=select+1 /P/P-000001?sql=select+1 /P/P-000001?_trace=1 /.json /index.json /_memory
/_internal /_memory.json /databases /P/P-000001.json /P/P-000001.csv /P/P-000001.db /N/N-0001.blob /favicon.ico
/P/../public.db /P/%2e%2e/public.db /picture/../public.db /picture/%2e%2e/public.db /picture/..%2fpublic.db
/picture/%2e%2e%2fpublic.db /picture/....//public.db /picture//etc/passwd /picture/public.db /picture/.jpg
/picture/nosuch.jpg /picture/n-0001.jpg%00 /picture/n-0001.jpg%00.png /P/P-000001%00 /P/P%2D000001 /P/P-000001%0a
/P/. /P/.. /P/./P-000001 //P/P-000001 /P//P-000001 /P/P-000001// /P/~P /%50/P-000001 /P/P-000001/extra /S/../P
/style.css.bak /style.css/ /templates/base.html /base.html /robots.txt /C/C-0001/x /X/P-000001 /P/P-999999 /N/P-000001
/P/N-0001 /E/nosuch /S/nosuch /P/P-000001;x /P/P-000001' /P/0 /P/P-0
"""


@pytest.mark.parametrize("path", HOSTILE.split())
def test_everything_else_is_our_own_404(site, path: str) -> None:  # type: ignore[no-untyped-def]
    status, headers, body = raw(site, path)
    assert status == 404, path
    assert b"No page of this catalog has that address" in body
    assert b"content-security-policy" in headers


@pytest.mark.parametrize("path", ["/P/" + "A" * 25, "/" + "a" * 100_000, "/P/" + "-" * 9000, "/search?q=" + "a" * 5000,
                                  "/search?" + "a=1&" * 300])  # fmt: skip
def test_overlong_addresses(site, path: str) -> None:  # type: ignore[no-untyped-def]
    assert raw(site, path)[0] == 404


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "get", "QUERY"])
def test_only_reading(site, method: str) -> None:  # type: ignore[no-untyped-def]
    for path in ("/", "/P/P-000001", "/-/databases", "/public.db"):
        status, headers, body = raw(site, path, method)
        assert (status, headers[b"allow"]) == (405, b"GET, HEAD")


@pytest.mark.parametrize("path", ["/", "/P/P-000001", "/nosuch", "/picture/n-0001.jpg", "/style.css", "/p/p1"])
def test_headers(ask, path: str) -> None:  # type: ignore[no-untyped-def]
    headers = ask(path).headers
    assert headers["content-security-policy"].startswith("default-src 'none'; style-src 'self'; img-src 'self'")
    assert "frame-ancestors 'none'" in headers["content-security-policy"]
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"
    assert "cache-control" in headers
    assert "set-cookie" not in headers and "server" not in headers


def test_head_has_no_body_and_the_same_headers(ask) -> None:  # type: ignore[no-untyped-def]
    got, head = ask("/P/P-000001"), ask("/P/P-000001", "HEAD")
    assert head.status_code == 200 and head.content == b""
    assert dict(head.headers) == dict(got.headers)


@pytest.mark.parametrize("path", ["/", "/P/P-000001", "/picture/n-0001.jpg", "/style.css"])
def test_what_the_browser_has_is_not_sent_again(ask, path: str) -> None:  # type: ignore[no-untyped-def]
    mark = ask(path).headers["etag"]
    again = ask(path, headers={"If-None-Match": mark})
    assert (again.status_code, again.content, again.headers["etag"]) == (304, b"", mark)
    assert ask(path, headers={"If-None-Match": '"other"'}).status_code == 200


def test_cookies_and_tokens_change_nothing(ask) -> None:  # type: ignore[no-untyped-def]
    for headers in ({"Cookie": "ds_actor=x; ds_messages=y"}, {"Authorization": "Bearer dstok_x"}):
        assert ask("/-/databases", headers=headers).status_code == 404
        answer = ask("/P/P-000001", headers=headers)
        assert answer.status_code == 200 and "no-store" not in answer.headers["cache-control"]


def test_the_server_behind_the_gate_refuses_too(site) -> None:  # type: ignore[no-untyped-def]
    """The third line: without the gate the server's own pages are forbidden or empty of rows."""
    inner = site.inner
    for path in (
        "/public", "/public/print", "/public/print.json", "/public/search_data.json", "/public.json?sql=select+1",
        "/public.db", "/public/print/P-000001.json", "/-/databases.json", "/public/print.csv?_stream=on",
    ):  # fmt: skip
        status, _headers, body = raw(inner, path)
        assert status in (400, 403, 404) or path.startswith("/-/"), (path, status)
        assert b"Evaporation" not in body, path


def test_a_fault_is_a_page_of_our_own(tmp_path, caplog, capfd) -> None:  # type: ignore[no-untyped-def]
    broken = application(build_public_copy(tmp_path / "copy"), TEMPLATES)
    broken.pages.copy.connection.close()  # type: ignore[attr-defined]
    status, headers, body = raw(broken, "/P/P-000001")
    assert status == 500 and b"A fault of the site" in body
    assert headers[b"cache-control"] == b"no-store"
    assert b"closed database" not in body and "closed database" in caplog.text
    assert capfd.readouterr() == ("", "")


def raw(application_, path: str, method: str = "GET") -> tuple[int, dict[bytes, bytes], bytes]:  # type: ignore[no-untyped-def]
    """One request exactly as written: a client library would tidy dots and escapes before sending."""
    from urllib.parse import unquote

    target, _, asked = path.partition("?")
    scope = {
        "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": method, "scheme": "http",
        "path": unquote(target), "raw_path": target.encode(), "query_string": asked.encode(), "root_path": "",
        "headers": [(b"host", b"site.example.org")], "client": ("127.0.0.1", 1), "server": ("127.0.0.1", 80),
    }  # fmt: skip
    got: list[dict] = []  # type: ignore[type-arg]

    async def receive() -> dict:  # type: ignore[type-arg]
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: dict) -> None:  # type: ignore[type-arg]
        got.append(message)

    asyncio.run(application_(scope, receive, send))
    body = b"".join(message.get("body", b"") for message in got[1:])
    return got[0]["status"], {bytes(key).lower(): bytes(value) for key, value in got[0]["headers"]}, body
