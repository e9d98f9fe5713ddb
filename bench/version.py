"""Say which paintbench this is: its version and the commit that it was made from."""

from __future__ import annotations

import subprocess
from pathlib import Path

from bench import __version__

PACKAGE = Path(__file__).resolve().parent
IN_PACKAGE = PACKAGE / "commit.txt"
"""Written into wheels, source archives and sticks; a checkout asks git instead."""


def commit(package: Path = PACKAGE) -> str:
    """Return the commit in seven or more figures, ``+`` behind it if files were changed since.

    Empty where nobody knows: a folder that is neither a checkout nor was made by our scripts.
    """
    file = package / IN_PACKAGE.name
    if file.exists():
        return file.read_text(encoding="ascii").strip()
    if not (package.parent / ".git").exists():
        return ""
    try:
        answer = subprocess.run(
            ["git", "describe", "--always", "--exclude=*", "--dirty=+"],
            cwd=package,
            capture_output=True,
            text=True,
            check=False,
        )
    except OSError:
        return ""
    return answer.stdout.strip()


def version_line() -> str:
    """Return what ``paintbench --version`` prints."""
    commit_words = commit()
    return f"paintbench {__version__}" + (f" ({commit_words})" if commit_words else "")
