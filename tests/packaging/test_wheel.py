"""The wheel: it carries the seeds, and runs from any directory when installed."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

from bench import __version__
from bench.help_topics import read_topic, topic_names
from bench.version import commit

CHECKOUT = Path(__file__).resolve().parents[2]


def build(target: str, source: Path, folder: Path) -> Path:
    """Build a wheel or sdist of `source` with the installed hatchling: nothing is downloaded."""
    command = [sys.executable, "-m", "hatchling", "build", "--target", target]
    subprocess.run(
        [*command, "--directory", folder], cwd=source, check=True, capture_output=True, text=True
    )
    (built,) = folder.iterdir()
    return built


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built by way of the sdist, so that one lacking a file shows itself too."""
    sdist = build("sdist", CHECKOUT, tmp_path_factory.mktemp("sdist"))
    unpacked = tmp_path_factory.mktemp("unpacked")
    # By tar: tarfile's safe extraction came after the Python 3.11.2 of Debian 12.
    subprocess.run(["tar", "-xzf", sdist, "-C", unpacked], check=True)
    (source,) = unpacked.iterdir()
    return build("wheel", source, tmp_path_factory.mktemp("wheel"))


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The bin folder of a venv with our wheel in it and the dependencies of this one lent to it."""
    venv = tmp_path_factory.mktemp("installed") / "venv"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", venv], check=True)
    python = venv / "bin/python"
    # Before the dependencies are lent: the checkout's own editable install must not pass for ours.
    pip = [sys.executable, "-m", "pip", "--python", str(python), "install", "--quiet"]
    subprocess.run([*pip, "--no-deps", "--no-index", wheel], check=True)
    (site_packages,) = venv.glob("lib/python*/site-packages")
    lent = {sysconfig.get_path("purelib"), sysconfig.get_path("platlib")}
    (site_packages / "lent.pth").write_text("\n".join(sorted(lent)))
    return venv / "bin"


def run(
    installed: Path, elsewhere: Path, program: str, *arguments: str
) -> subprocess.CompletedProcess[str]:
    """Run a program of the venv from another directory, with a data folder of its own."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    environment |= {"HOME": str(elsewhere), "PAINTBENCH_DB": str(elsewhere / "shop.db")}
    return subprocess.run(
        [installed / program, *arguments],
        cwd=elsewhere,
        env=environment,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_wheel_carries_every_seed_as_it_stands_in_the_checkout(wheel: Path) -> None:
    seeds = CHECKOUT / "seeds"
    ours = {path.relative_to(seeds).as_posix(): path.read_bytes() for path in seeds.rglob("*.toml")}
    inside = "bench/seeds/"
    with zipfile.ZipFile(wheel) as archive:
        carried = {
            name.removeprefix(inside): archive.read(name)
            for name in archive.namelist()
            if name.startswith(inside) and name.endswith(".toml")
        }
    assert ours
    assert carried == ours


def test_the_installed_program_explains_every_topic(installed: Path, tmp_path: Path) -> None:
    script = "from bench.__main__ import main\nfor topic in {}: assert main(['help', topic]) == 0"
    ran = run(installed, tmp_path, "python", "-c", script.format(topic_names()))
    assert (ran.returncode, ran.stderr) == (0, "")
    for topic in topic_names():
        assert f"{read_topic(topic).title}\n" in ran.stdout, topic


def test_the_wheel_carries_the_program_and_nothing_beside_it(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        tops = {name.split("/")[0] for name in archive.namelist()}
    assert tops == {"bench", f"paintbench-{__version__}.dist-info"}


def test_the_installed_program_tells_its_version_and_the_commit_that_it_was_made_from(
    installed: Path, tmp_path: Path
) -> None:
    version = run(installed, tmp_path, "paintbench", "--version")
    assert version.returncode == 0, version.stderr
    assert commit(), "this test needs a checkout"
    assert version.stdout == f"paintbench {__version__} ({commit()})\n"


def test_a_checkout_asks_git_and_an_installed_package_reads_what_it_carries(tmp_path: Path) -> None:
    package = tmp_path / "bench"
    package.mkdir()
    assert commit(package) == "", "neither a checkout nor made by our scripts"
    git = ["git", "-C", tmp_path, "-c", "user.name=Ada", "-c", "user.email=ada@example.invalid"]
    subprocess.run([*git, "init", "--quiet"], check=True)
    (package / "file").write_text("one")
    subprocess.run([*git, "add", "."], check=True)
    subprocess.run([*git, "commit", "--quiet", "--message", "Begin"], check=True)
    clean = commit(package)
    assert len(clean) >= 7
    (package / "file").write_text("two")
    assert commit(package) == f"{clean}+"
    (package / "commit.txt").write_text("1234567\n")
    assert commit(package) == "1234567"


def test_the_installed_program_reads_the_seeds_it_carries(installed: Path, tmp_path: Path) -> None:
    script = "from bench.shop.seeds.seed_files import folder, load\nload(folder())\nprint(folder())"
    read = run(installed, tmp_path, "python", "-c", script)
    assert read.returncode == 0, read.stderr
    assert Path(read.stdout.strip()).is_relative_to(installed.parent)


def test_the_installed_program_shows_the_bench_from_any_directory(
    installed: Path, tmp_path: Path
) -> None:
    opening = ("open", "--painters", "Ada,Ben", "--stands", "6")
    opened = run(installed, tmp_path, "paintbench", *opening)
    assert opened.returncode == 0, opened.stderr
    status = run(installed, tmp_path, "paintbench", "status", "--json")
    assert status.returncode == 0, status.stderr
    assert {"now", "stands", "room", "pots", "conditions"} <= json.loads(status.stdout).keys()
