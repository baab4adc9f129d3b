"""The public site over a small copy, asked in process."""

import asyncio
from collections.abc import Callable
from pathlib import Path

import httpx
import pytest

from catalog.publish.gate import Application
from catalog.publish.site import application
from tests.publish.public_sample import build_public_copy

TEMPLATES = Path(__file__).parents[2] / "templates" / "site"
Ask = Callable[..., httpx.Response]


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
