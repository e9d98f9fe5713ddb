"""Put the commit into what hatchling builds: a wheel or a source archive has no git to ask."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class WriteCommit(BuildHookInterface):
    """Found by hatchling, which ``pyproject.toml`` tells of this file."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Add bench/commit.txt; an editable install stays a checkout and asks git."""
        if version == "editable":
            return
        sys.path.insert(0, self.root)
        from bench.version import IN_PACKAGE, commit

        with tempfile.NamedTemporaryFile("w", suffix=".txt", delete=False) as file:
            file.write(commit() + "\n")
        self.written = Path(file.name)
        build_data["force_include"][file.name] = f"bench/{IN_PACKAGE.name}"

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:
        """Take the file away again."""
        if version != "editable":
            self.written.unlink()
