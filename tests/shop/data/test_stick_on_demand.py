"""A stick that is mounted when something looks at it: its folder is there even when the stick is not."""

from __future__ import annotations

import errno
import os
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bench.shop.core.transaction import Shop
from bench.shop.data.backup_retention import MEGABYTE
from bench.shop.data.backups import BackupPlace, BackupState, back_up_if_due

pytestmark = pytest.mark.sqlite

NOON = datetime(2026, 3, 12, 12, 0, tzinfo=UTC)


def test_a_stick_that_is_not_there_is_said_and_one_put_back_is_written_to(
    shop: Shop, data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Looking into the folder then fails with ENODEV, as seen with systemd 252 on Debian 12."""
    del shop
    stick = tmp_path / "stick"
    stick.mkdir()
    wanted = BackupPlace(
        str(data),
        stick,
        second=True,
        other_disk=False,
        now=NOON,
        zone=UTC,
        may_thin=True,
        most_bytes=MEGABYTE,
        places=None,
    )
    real = os.listdir

    def missing(path: str) -> list[str]:
        if Path(path) == stick:
            raise OSError(errno.ENODEV, os.strerror(errno.ENODEV), str(path))
        return real(path)

    with monkeypatch.context() as pulled_out:
        pulled_out.setattr(os, "listdir", missing)
        assert back_up_if_due(wanted) == BackupState(fault="no such device")
    found = back_up_if_due(wanted)
    assert (found.newest, found.fault) == (NOON, "")
    assert [file.name for file in stick.iterdir()] == ["shop-20260312T120000Z.db"]
