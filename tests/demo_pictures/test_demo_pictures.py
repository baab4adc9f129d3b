"""The demo pictures: repeatable, unlike one another, and toned like photographs."""

import pytest
from PIL import Image, ImageChops, ImageStat

from catalog import demo_pictures

SMALL = (160, 128)
UPRIGHT = {
    "salt-sluice", "salt-tide-lines", "salt-rake", "ropewalk-coils", "ropewalk-wheel", "ropewalk-window",
    "ropewalk-cloth", "ropewalk-stair", "quarry-birches", "quarry-path", "quarry-stone",
}  # fmt: skip


@pytest.fixture(scope="module")
def pictures() -> dict[str, Image.Image]:
    return {name: demo_pictures.draw(name, SMALL) for name in demo_pictures.names()}


def test_there_are_three_families_of_eight() -> None:
    families = [name.split("-")[0] for name in demo_pictures.names()]
    assert {family: families.count(family) for family in families} == {"salt": 8, "ropewalk": 8, "quarry": 8}
    assert len(set(demo_pictures.names())) == 24


def test_the_same_name_draws_the_same_picture(pictures: dict[str, Image.Image]) -> None:
    for name, picture in pictures.items():
        assert demo_pictures.draw(name, SMALL).tobytes() == picture.tobytes(), name


def test_each_picture_is_grey_and_stands_the_way_its_name_decides(pictures: dict[str, Image.Image]) -> None:
    for name, picture in pictures.items():
        assert picture.mode == "L", name
        assert picture.size == ((128, 160) if name in UPRIGHT else (160, 128)), name


def test_the_order_of_the_sides_does_not_matter() -> None:
    assert demo_pictures.draw("salt-moon", (128, 160)).size == (160, 128)


def test_each_picture_uses_the_tonal_range_without_blocking_up(pictures: dict[str, Image.Image]) -> None:
    for name, picture in pictures.items():
        counts = picture.histogram()
        total = picture.width * picture.height
        dark = next(level for level in range(256) if sum(counts[: level + 1]) > total * 0.02)
        light = next(level for level in range(255, -1, -1) if sum(counts[level:]) > total * 0.02)
        assert light - dark > 110, (name, dark, light)
        assert counts[0] + counts[255] < total * 0.12, name
        assert 45 < ImageStat.Stat(picture).mean[0] < 200, name


def test_no_two_pictures_look_alike(pictures: dict[str, Image.Image]) -> None:
    thumbnails = {name: picture.resize((16, 16), Image.Resampling.BOX) for name, picture in pictures.items()}
    names = list(thumbnails)
    for index, first in enumerate(names):
        for second in names[index + 1 :]:
            difference = ImageStat.Stat(ImageChops.difference(thumbnails[first], thumbnails[second])).mean[0]
            assert difference > 9, (first, second, difference)


def test_an_unknown_name_is_refused() -> None:
    with pytest.raises(KeyError):
        demo_pictures.draw("harbour-none", SMALL)
