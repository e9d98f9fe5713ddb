"""The README's picture shows the bench as it is."""

from __future__ import annotations

from tests.picture import PICTURE, drawn


async def test_the_picture_in_the_readme_is_of_today() -> None:
    kept = PICTURE.read_text(encoding="utf-8")
    assert await drawn() == kept, "run scripts/picture and look at it"
