"""Starting the site, and the pages in a browser under their own policy."""

import socket
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest

from catalog.errors import TirageError
from catalog.publish.site import application, serve
from tests.publish.conftest import TEMPLATES, needs_browser

LOOKED_AT = """/ /S/rooms /N /E /P /N/N-0007 /E/E-0001 /P/P-000001 /P/P-000004 /C/C-0001
/C?certificate=C-0001&fingerprint=aa11bb22 /search?q=evap /about"""


def test_serves_on_this_machine_and_prints_nothing(public_copy: Path) -> None:
    program = (
        "import sys; from pathlib import Path; from catalog.publish.site import serve\n"
        "serve(Path(sys.argv[1]), Path(sys.argv[2]), 0, ready=lambda url: print(url, flush=True))"
    )
    command = [sys.executable, "-c", program, public_copy, TEMPLATES]
    pipe = subprocess.PIPE
    process = subprocess.Popen(command, text=True, cwd=TEMPLATES.parents[1], stdout=pipe, stderr=pipe)
    assert process.stdout and process.stderr
    url = process.stdout.readline().strip()
    assert url.startswith("http://127.0.0.1:")
    with urllib.request.urlopen(url + "P/P-000001") as answer:
        assert answer.status == 200 and "server" not in answer.headers
    process.terminate()
    out, error = process.communicate(timeout=10)
    assert (out, error) == ("", "")


def test_refusals_are_sentences(public_copy: Path, tmp_path: Path) -> None:
    with pytest.raises(TirageError, match="not this machine; expected 127.0.0.1"):
        serve(public_copy, TEMPLATES, 0, "0.0.0.0")
    with pytest.raises(TirageError, match="holds no public.db; expected a folder made by"):
        application(tmp_path, TEMPLATES)
    with pytest.raises(TirageError, match="is not there"):
        application(tmp_path / "nosuch", TEMPLATES)
    (tmp_path / "public.db").write_bytes(b"not a database, but long enough to be looked at " * 30)
    with pytest.raises(TirageError, match="cannot be read"):
        application(tmp_path, TEMPLATES)
    (tmp_path / "public.db").write_bytes(b"")
    with pytest.raises(TirageError, match="without the tables"):
        application(tmp_path, TEMPLATES)
    with pytest.raises(TirageError, match="no templates of the site"):
        application(public_copy, tmp_path)
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(TirageError, match=f"port {port} of 127.0.0.1 cannot be used"):
            serve(public_copy, TEMPLATES, port)
    with pytest.raises(TirageError, match="port 70000"):
        serve(public_copy, TEMPLATES, 70000)


@pytest.mark.browser
@needs_browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_page_complains_or_scrolls_sideways(browser, address: str, scheme: str) -> None:  # type: ignore[no-untyped-def]
    for width in (320, 390, 1280):
        context = browser.new_context(viewport={"width": width, "height": 800}, color_scheme=scheme)
        page = context.new_page()
        complaints: list[str] = []
        page.on("console", lambda message, kept=complaints: kept.append(message.text))
        page.on("response", lambda answer, kept=complaints: kept.append(answer.url) if answer.status >= 400 else None)
        asked: list[str] = []
        page.on("request", lambda request, kept=asked: kept.append(request.url))
        for path in LOOKED_AT.split():
            page.goto(address + path)
            wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
            assert wide <= 0, (path, width, wide)
        assert complaints == []
        assert all(url.startswith(address) for url in asked)
        context.close()


@pytest.mark.browser
@needs_browser
def test_keyboard_reaches_the_content(browser, address: str) -> None:  # type: ignore[no-untyped-def]
    page = browser.new_page()
    page.goto(address + "/E/E-0001")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    assert page.locator(".skip").bounding_box()["x"] >= 0
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "content"
    page.keyboard.press("Tab")
    outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert outline == "solid"
    page.close()


@pytest.mark.browser
@needs_browser
def test_map_leads_to_a_print_and_the_check_answers(browser, address: str) -> None:  # type: ignore[no-untyped-def]
    page = browser.new_page()
    page.goto(address + "/E/E-0001")
    page.get_by_role("link", name="3/25, placed").click()
    assert page.url == address + "/P/P-000004"
    page.goto(address + "/C")
    page.get_by_label("Number of the certificate").fill("c3")
    page.get_by_label("First characters of the fingerprint").fill("3F9A 01C7")
    page.get_by_role("button", name="Compare").click()
    assert page.get_by_text("This number and fingerprint agree with the record.").is_visible()
    page.close()
