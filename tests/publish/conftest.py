"""The public site over a small copy, asked in process."""

import asyncio
import os
import shutil
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import httpx
import pytest

from catalog.publish.gate import Application
from catalog.publish.site import application, serve
from tests.publish.public_sample import build_public_copy

TEMPLATES = Path(__file__).parents[2] / "templates" / "site"
Ask = Callable[..., httpx.Response]
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
needs_browser = pytest.mark.skipif(
    not CHROMIUM and os.environ.get("TIRAGE_BROWSER") != "required", reason="there is no chromium here"
)


@pytest.fixture(scope="session")
def public_copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build_public_copy(tmp_path_factory.mktemp("public") / "copy")


@pytest.fixture(scope="session")
def site(public_copy: Path) -> Application:
    return application(public_copy, TEMPLATES)


@pytest.fixture(scope="session")
def ask(site: Application) -> Ask:
    """Ask the site for a path; nothing is followed and nothing is raised."""

    def request(path: str, method: str = "GET", **more: object) -> httpx.Response:
        async def once() -> httpx.Response:
            transport = httpx.ASGITransport(app=site)  # type: ignore[arg-type]
            async with httpx.AsyncClient(transport=transport, base_url="http://site.example.org") as client:
                return await client.request(method, path, **more)  # type: ignore[arg-type]

        return asyncio.run(once())

    return request


@pytest.fixture(scope="session")
def address(public_copy: Path) -> str:
    """A running site. Its thread ends with the tests: a server in a thread cannot be sent Ctrl-C."""
    told: list[str] = []
    is_ready = threading.Event()

    def ready(url: str) -> None:
        told.append(url)
        is_ready.set()

    threading.Thread(target=serve, args=(public_copy, TEMPLATES, 0), kwargs={"ready": ready}, daemon=True).start()
    assert is_ready.wait(20)
    return told[0].rstrip("/")


@pytest.fixture(scope="session")
def browser() -> Iterator:  # type: ignore[type-arg]
    playwright = pytest.importorskip("playwright.sync_api")
    with playwright.sync_playwright() as running:
        started = running.chromium.launch(executable_path=CHROMIUM)
        yield started
        started.close()
