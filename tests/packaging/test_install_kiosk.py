"""scripts/install-kiosk: what --dry-run says is what it does, twice is once, and the data outlives it."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from bench.shop.settings.kiosk_limits import AllowedFolders, kiosk_limits

EXPOSED = 16
"""Tenths of systemd's mark: what the unit reaches; it must not get worse."""

CHECKOUT = Path(__file__).resolve().parents[2]
SCRIPT = CHECKOUT / "scripts/install-kiosk"
UNITS = "/etc/systemd/system"
STICK = r"media-paintbench\x2dstick"

FILES = {
    "/opt/paintbench/kiosk-console": 0o755,
    "/opt/paintbench/kiosk.options": 0o644,
    "/usr/local/bin/paintbench": 0o755,
    "/etc/paintbench/kiosk.env": 0o644,
    "/etc/udev/rules.d/95-paintbench-kiosk.rules": 0o644,
    f"{UNITS}/paintbench-kiosk.service": 0o644,
    f"{UNITS}/{STICK}.mount": 0o644,
    f"{UNITS}/{STICK}.automount": 0o644,
    rf"{UNITS}/dev-disk-by\x2dlabel-PAINTBENCH.device.d/paintbench-kiosk.conf": 0o644,
}
LINKS = {
    f"{UNITS}/getty@tty1.service": "/dev/null",
    f"{UNITS}/multi-user.target.wants/paintbench-kiosk.service": f"{UNITS}/paintbench-kiosk.service",
    f"{UNITS}/multi-user.target.wants/{STICK}.automount": f"{UNITS}/{STICK}.automount",
}
CHANGES_THINGS = (
    *("useradd", "userdel", "install", "chown", "chmod", "mkdir", "rm", "rmdir", "mv", "cp"),
    *("ln", "touch", "sync", "systemctl", "udevadm", "apt-get", "mount", "umount", "setfont"),
)


@dataclass
class Told:
    """What a run printed: files with their mode and text, links, commands, notes."""

    files: dict[str, tuple[int, str]] = field(default_factory=dict)
    links: dict[str, str] = field(default_factory=dict)
    commands: list[str] = field(default_factory=list)
    as_is: set[str] = field(default_factory=set)
    removed: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def read(printed: str) -> Told:
    """Every line is one of these kinds, or the test fails."""
    told, path = Told(), ""
    for row in printed.splitlines():
        if row.startswith("    | ") or row == "    |":
            mode, text = told.files[path]
            told.files[path] = (mode, text + row[6:] + "\n")
        elif found := re.fullmatch(r"write  (\S+) \(mode (\d+)\)", row):
            path = found[1]
            told.files[path] = (int(found[2], 8), "")
        elif found := re.fullmatch(r"link   (\S+) -> (\S+)", row):
            told.links[found[1]] = found[2]
        elif found := re.fullmatch(r"(?:run|left)\s+(.+)", row):
            told.commands.append(found[1])
        elif found := re.fullmatch(r"as is  (\S+)", row):
            told.as_is.add(found[1])
        elif found := re.fullmatch(r"remove (\S+)", row):
            told.removed.append(found[1])
        else:
            assert row.startswith("note   "), row
            told.notes.append(row.removeprefix("note   "))
    return told


def run(*options: str | Path, code: int = 0, path: str | None = None) -> str:
    """Run the script; what it printed, or with another code than 0 what it complained of."""
    done = subprocess.run(
        [SCRIPT, *options],
        env={"PATH": path or os.environ["PATH"], "HOME": "/nowhere", "LC_ALL": "C.UTF-8"},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == code, done.stderr or done.stdout
    assert code or not done.stderr, done.stderr
    return done.stderr if code else done.stdout


def tree(root: Path) -> tuple[dict[str, tuple[int, str]], dict[str, str]]:
    """Files and links below a folder, as ``ComputerClock`` has them."""
    files, links = {}, {}
    for path in sorted(root.rglob("*")):
        name = f"/{path.relative_to(root)}"
        if path.is_symlink():
            links[name] = os.readlink(path)
        elif path.is_file():
            files[name] = (path.stat().st_mode & 0o777, path.read_text())
    return files, links


@pytest.fixture
def system(tmp_path: Path) -> Path:
    """Where another system's files are."""
    folder = tmp_path / "system"
    folder.mkdir()
    return folder


# -- what it would do, and does ---------------------------------------------------


def test_dry_run_needs_no_root_prints_every_step_and_calls_nothing_that_changes_anything(
    tmp_path: Path,
) -> None:
    shims, calls = tmp_path / "shims", tmp_path / "calls"
    shims.mkdir()
    for name in CHANGES_THINGS:
        (shims / name).write_text(f'#!/bin/sh\necho {name} "$@" >>{calls}\n')
        (shims / name).chmod(0o755)
    told = read(run("--dry-run", "--data", "/srv/bench-test", path=f"{shims}:{os.environ['PATH']}"))
    assert not calls.exists(), calls.read_text()
    assert {path: mode for path, (mode, _) in told.files.items()} == FILES
    assert told.links == LINKS
    wanted = [
        r"useradd --system .*--shell /usr/sbin/nologin .*paintbench",
        r"install -d -m 0750 -o paintbench -g paintbench -- /srv/bench-test",
        r"\S*python3\S* -I -m venv -- /opt/paintbench/venv-[0-9a-f]{12}",
        r"bash \S+/scripts/install-packages /opt/paintbench/venv-\S+/bin/python \S+ run",
        r"ln -sfn -- venv-\S+ /opt/paintbench/venv.new",
        r"mv -fT -- /opt/paintbench/venv.new /opt/paintbench/venv",
    ]
    steps = iter(told.commands)
    for pattern in wanted:
        assert any(re.fullmatch(pattern, step) for step in steps), f"{pattern} in {told.commands}"
    assert any("Alt+F2" in note for note in told.notes)


def test_dry_run_writes_nothing_below_a_root_either(system: Path) -> None:
    run("--dry-run", "--root", system)
    assert list(system.iterdir()) == []


def test_installed_below_a_root_are_the_very_files_that_dry_run_printed(system: Path) -> None:
    printed = read(run("--dry-run", "--root", system))
    done = read(run("--root", system))
    assert tree(system) == (printed.files, printed.links)
    assert {path: mode for path, (mode, _) in printed.files.items()} == FILES
    assert printed.links == LINKS
    assert done.commands == printed.commands
    assert "systemctl restart paintbench-kiosk" in done.commands[-1], "left for that system"


def test_a_second_run_finds_all_as_it_is(system: Path) -> None:
    run("--root", system)
    before = tree(system)
    again = read(run("--root", system))
    assert again.as_is >= {*FILES, *LINKS}
    assert (again.files, again.links) == ({}, {})
    assert tree(system) == before


def test_a_file_that_was_changed_or_lost_is_written_again(system: Path) -> None:
    run("--root", system)
    before = tree(system)
    (system / "etc/paintbench/kiosk.env").write_text("# Written by scripts/install-kiosk\nX=1\n")
    (system / "opt/paintbench/kiosk-console").chmod(0o644)
    (system / f"etc/systemd/system/{STICK}.mount").unlink()
    again = read(run("--root", system))
    assert set(again.files) == {
        "/etc/paintbench/kiosk.env",
        "/opt/paintbench/kiosk-console",
        f"{UNITS}/{STICK}.mount",
    }
    assert tree(system) == before


def test_the_options_reach_every_file_that_they_concern(system: Path) -> None:
    options = ("--user", "bench2", "--tty", "/dev/tty3", "--data", "/srv/shop.1/data/")
    told = read(run("--root", system, *options, "--stick-label", "SHOP-2"))
    files, links = tree(system)
    unit = files[f"{UNITS}/paintbench-kiosk.service"][1]
    assert "User=bench2\nGroup=bench2\n" in unit
    assert "TTYPath=/dev/tty3\n" in unit
    assert "Conflicts=getty@tty3.service\n" in unit
    assert "ReadWritePaths=/srv/shop.1/data\n" in unit
    assert "PAINTBENCH_DB=/srv/shop.1/data/shop.db\n" in files["/etc/paintbench/kiosk.env"][1]
    assert "by-label/SHOP-2\n" in files[f"{UNITS}/{STICK}.mount"][1]
    assert "uid=bench2,gid=bench2" in files[f"{UNITS}/{STICK}.mount"][1]
    assert rf"{UNITS}/dev-disk-by\x2dlabel-SHOP\x2d2.device.d/paintbench-kiosk.conf" in files
    assert links[f"{UNITS}/getty@tty3.service"] == "/dev/null"
    assert f"{UNITS}/getty@tty1.service" not in links
    assert not [path for path, (_, text) in files.items() if re.search("@[A-Z]+@", text)]
    assert any(command.endswith(" bench2") and "useradd" in command for command in told.commands)


def test_run_again_it_remembers_with_what_and_other_options_are_refused(system: Path) -> None:
    run("--root", system, "--user", "bench2", "--tty", "tty3")
    before = tree(system)
    assert read(run("--root", system)).as_is >= set(before[0])
    assert read(run("--root", system, "--tty", "tty3")).files == {}
    refused = run("--root", system, "--tty", "tty4", code=3)
    assert "installed with --tty tty3, not tty4: --uninstall first" in refused
    assert tree(system) == before


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (["--user", "Bench"], "small letters"),
        (["--user", "a b"], "small letters"),
        (["--user", ""], "the value is missing"),
        (["--user"], "the value is missing"),
        (["--tty", "ttyS0"], "tty1 to tty63"),
        (["--tty", "tty0"], "tty1 to tty63"),
        (["--tty", "tty64"], "tty1 to tty63"),
        (["--data", "shop"], "a full path"),
        (["--data", "/"], "a full path"),
        (["--data", "/srv"], "a full path"),
        (["--data", "/srv/a b"], "a full path"),
        (["--data", "/srv/%h"], "a full path"),
        (["--data", "/srv/../etc/x"], "a full path"),
        (["--data", "/home/ada/shop"], "/srv/paintbench can"),
        (["--data", "/tmp/shop"], "/srv/paintbench can"),
        (["--data", "/opt/paintbench/data"], "/srv/paintbench can"),
        (["--stick-label", "A/B"], "up to eleven"),
        (["--stick-label", "TWELVE-CHARS"], "up to eleven"),
        (["--wheel", "/nowhere/paintbench.whl"], "no such wheel"),
        (["--wheel", str(SCRIPT)], "no such wheel"),
        (["--root", "/nowhere/at/all"], "no such directory"),
        (["--colour"], "no such option"),
    ],
)
def test_what_cannot_be_right_is_refused_with_what_would_be(
    system: Path, options: list[str], told: str
) -> None:
    complaint = run("--root", system, *options, code=2)
    assert told in complaint.splitlines()[0]
    assert options[0] in complaint.splitlines()[0]
    assert "usage: scripts/install-kiosk" in complaint
    assert list(system.iterdir()) == []


@pytest.mark.parametrize(
    "path",
    ["/usr/local/bin/paintbench", f"{UNITS}/getty@tty1.service", "/etc/paintbench/kiosk.env"],
)
def test_somebody_elses_file_is_not_written_over(system: Path, path: str) -> None:
    theirs = system / path[1:]
    theirs.parent.mkdir(parents=True)
    theirs.write_text("theirs\n")
    assert f"{path} is there and is not ours" in run("--root", system, code=3)
    assert theirs.read_text() == "theirs\n"


def test_a_missing_package_is_named(tmp_path: Path) -> None:
    folder = tmp_path / "bin"
    folder.mkdir()
    here = ("bash", "cat", "cut", "dirname", "env", "find", "getent", "grep", "readlink", "ls")
    for tool in (*here, "sha256sum", "sort", "stat", "tr", "xargs"):
        found = shutil.which(tool)
        assert found, f"this test needs {tool}"
        (folder / tool).symlink_to(found)
    printed = run("--dry-run", "--data", "/srv/bench-test", path=str(folder))
    (note,) = [note for note in read(printed).notes if "missing" in note]
    assert note.startswith("missing here: sudo apt install kbd ")
    assert note.endswith(" systemd python3 python3-venv")


def test_a_wheel_is_installed_instead_of_the_checkout(system: Path, tmp_path: Path) -> None:
    wheel = tmp_path / "paintbench-9-py3-none-any.whl"
    wheel.write_bytes(b"PK")
    told = read(run("--dry-run", "--root", system, "--wheel", wheel))
    (pip,) = [command for command in told.commands if "/install-packages " in command]
    assert pip.endswith(f"/bin/python {wheel} run")
    other = read(run("--dry-run", "--root", system))
    assert told.commands[2] != other.commands[2], "another program goes into another folder"


def test_a_database_on_a_server_brings_its_packages(system: Path) -> None:
    run("--root", system)
    plain = read(run("--root", system)).commands
    local = system / "etc/paintbench/kiosk.local.env"
    local.write_text("TZ=UTC\nPAINTBENCH_DB=postgresql+psycopg://bench@server/shop\n")
    told = read(run("--root", system)).commands
    (pip,) = [command for command in told if "/install-packages " in command]
    assert pip.endswith(f"{CHECKOUT} run postgres")
    assert not set(told) & {command for command in plain if "venv-" in command}
    unit = (system / f"{UNITS[1:]}/paintbench-kiosk.service").read_text()
    assert "\nRestrictAddressFamilies=AF_UNIX AF_INET AF_INET6\n" in unit
    assert local.read_text().startswith("TZ=UTC\n"), "the shop's own lines stay"


# -- taking it away ---------------------------------------------------------------


def test_uninstalled_only_the_data_is_left(system: Path) -> None:
    data = system / "var/lib/paintbench"
    data.mkdir(parents=True)
    (data / "shop.db").write_text("the shop")
    run("--root", system, "--tty", "tty2", "--stick-label", "SHOP-2")
    (system / "etc/paintbench/kiosk.local.env").write_text("TZ=Europe/London\n")
    said = read(run("--root", system, "--uninstall"))
    assert tree(system) == ({"/var/lib/paintbench/shop.db": (0o644, "the shop")}, {})
    assert "the shop's data stays in /var/lib/paintbench" in said.notes[-1]
    assert "userdel -- paintbench" in said.commands
    assert "systemctl start getty@tty2.service" in said.commands
    again = read(run("--root", system, "--uninstall"))
    assert (again.removed, again.commands) == ([], [])
    assert again.notes == ["it is not installed; nothing was changed"]


def test_uninstall_dry_run_names_what_would_go_and_leaves_it(system: Path) -> None:
    run("--root", system)
    before = tree(system)
    told = read(run("--root", system, "--uninstall", "--dry-run"))
    assert tree(system) == before
    assert told.removed == read(run("--root", system, "--uninstall")).removed
    gone = tuple(told.removed)
    assert all(path.startswith(gone) for path in (*before[0], *before[1]))


def test_uninstall_leaves_what_somebody_else_put_there_since(system: Path) -> None:
    run("--root", system)
    theirs = system / "usr/local/bin/paintbench"
    theirs.write_text("#!/bin/sh\n")
    run("--root", system, "--uninstall")
    assert theirs.read_text() == "#!/bin/sh\n"


def test_what_was_cut_short_can_be_taken_away(system: Path) -> None:
    (system / "usr/local/bin").mkdir(parents=True)
    (system / "usr/local/bin/paintbench").write_text("theirs\n")
    assert "not ours" in run("--root", system, code=3)
    run("--root", system, "--uninstall")
    files, links = tree(system)
    assert (set(files), links) == ({"/usr/local/bin/paintbench"}, {})


def test_uninstall_leaves_a_getty_that_is_not_ours(system: Path) -> None:
    theirs = system / "etc/systemd/system/getty@tty1.service.d/autologin.conf"
    theirs.parent.mkdir(parents=True)
    theirs.write_text("[Service]\n")
    run("--root", system)
    run("--root", system, "--uninstall")
    assert theirs.read_text() == "[Service]\n"


# -- what was written -------------------------------------------------------------


def needs(tool: str, package: str) -> str:
    """The tool's path. Where CI runs it must be there; elsewhere the test is skipped without it."""
    found = shutil.which(tool)
    if found is None and os.environ.get("CI"):
        pytest.fail(f"{tool} is not installed: apt-get install {package}")
    if found is None:
        pytest.skip(f"{tool} is not installed (Debian's package {package})")
    return found


def test_systemd_finds_nothing_to_complain_of_in_the_units(system: Path) -> None:
    analyze = needs("systemd-analyze", "systemd")
    run("--root", system)
    shutil.copytree("/lib/systemd/system", system / "lib/systemd/system", symlinks=True)
    for program in ("opt/paintbench/venv/bin/paintbench", "usr/bin/dmesg"):
        (system / program).parent.mkdir(parents=True, exist_ok=True)
        (system / program).touch(0o755)
    units = ("paintbench-kiosk.service", f"{STICK}.mount", f"{STICK}.automount")
    done = subprocess.run(
        [analyze, f"--root={system}", "verify", *units], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


def test_the_bench_is_locked_in_as_far_as_it_goes(system: Path) -> None:
    """systemd's own mark from 0 to 10, where a service without any of it has 9.6."""
    analyze = needs("systemd-analyze", "systemd")
    run("--root", system)
    unit = system / "etc/systemd/system/paintbench-kiosk.service"
    command = [analyze, "security", "--offline=true", f"--threshold={EXPOSED}", "--no-pager", unit]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout


def test_the_bench_may_open_no_network_and_change_no_right_nor_limit(system: Path) -> None:
    """The names of systemd's groups of system calls: systemd.exec(5), from memory."""
    run("--root", system)
    unit = (system / "etc/systemd/system/paintbench-kiosk.service").read_text().splitlines()
    assert "RestrictAddressFamilies=AF_UNIX" in unit
    assert "SystemCallFilter=~@privileged @resources" in unit


def test_the_places_for_probes_and_backups_are_written_and_the_command_is_left_to_root(
    system: Path,
) -> None:
    run("--root", system, "--data", "/srv/shop.1/data")
    folder = system / "etc/paintbench"
    folder.chmod(0o755)
    allowed = kiosk_limits(folder, owner=os.getuid())
    assert allowed.faults == ()
    assert allowed.probes == AllowedFolders(
        "PAINTBENCH_PROBE_ROOTS", ("/sys/devices", "/sys/class", "/sys/bus", "/run")
    )
    assert allowed.backups == AllowedFolders(
        "PAINTBENCH_BACKUP_ROOTS", ("/media", "/mnt", "/run/media", "/srv/shop.1/data")
    )
    assert allowed.command == ()


def test_the_scripts_that_are_installed_pass_shellcheck(system: Path) -> None:
    run("--root", system)
    for script in ("opt/paintbench/kiosk-console", "usr/local/bin/paintbench"):
        subprocess.run([Path(sys.executable).parent / "shellcheck", system / script], check=True)


def shim(folder: Path, name: str, does: str) -> None:
    """A program of ours in the place of the system's."""
    (folder / name).write_text(f"#!/bin/sh\n{does}\n")
    (folder / name).chmod(0o755)


@pytest.mark.parametrize(
    ("pixels", "letters"),
    [
        ((1920, 1080), "32x16"),
        ((1366, 768), "32x16"),
        ((1280, 800), "32x16"),
        ((1280, 720), "28x14"),
        ((1024, 768), "24x12"),
        ((800, 480), "20x10"),
        ((640, 480), "16"),
        ((320, 240), "14"),
    ],
)
def test_the_letters_are_as_big_as_80_x_24_allows(
    system: Path, tmp_path: Path, pixels: tuple[int, int], letters: str
) -> None:
    """The sizes of Debian's Terminus console fonts; one of a single figure is eight dots wide."""
    run("--root", system)
    shims, size = tmp_path / "shims", tmp_path / "size"
    shims.mkdir()
    across, down = pixels
    shim(
        shims,
        "setfont",
        'of=${3##*TerminusBold}; of=${of%.psf.gz}; width=${of#*x}; [ "$width" != "$of" ] || width=8\n'
        f'echo "$of" >{tmp_path}/font; echo "$(({down} / ${{of%x*}})) $(({across} / width))" >{size}',
    )
    shim(shims, "stty", f"cat {size}")
    for quiet in ("setterm", "dmesg"):
        shim(shims, quiet, f'echo {quiet} "$@" >>{tmp_path}/quiet')
    console = tmp_path / "tty"
    console.touch()
    subprocess.run(
        [system / "opt/paintbench/kiosk-console", console, "starting ..."],
        env={"PATH": f"{shims}:{os.environ['PATH']}"},
        check=True,
    )
    assert console.read_text().endswith("starting ...\n")
    assert (tmp_path / "font").read_text().strip() == letters
    quiet = (tmp_path / "quiet").read_text()
    assert "setterm --blank 0 --powerdown 0" in quiet
    assert "dmesg --console-off" in quiet


def test_paintbench_on_the_kiosk_goes_to_its_data_as_its_user_and_has_a_way_out(
    system: Path, tmp_path: Path
) -> None:
    run("--root", system)
    shims = tmp_path / "shims"
    shims.mkdir()
    shim(shims, "id", "echo 0")
    shim(shims, "runuser", 'printf "%s\\n" "$@"; env')
    settings = system / "etc/paintbench"
    (settings / "kiosk.local.env").write_text(
        "# ours\nPAINTBENCH_DB=postgresql://a:b@c/d?e=f&g=$h\n"
    )
    wrapper = tmp_path / "paintbench"
    text = (system / "usr/local/bin/paintbench").read_text()
    wrapper.write_text(text.replace("/etc/paintbench", str(settings)))
    wrapper.chmod(0o755)
    environment = {"PATH": f"{shims}:{os.environ['PATH']}"}
    said = subprocess.check_output([wrapper, "place", "two words"], env=environment, text=True)
    rows = said.splitlines()
    assert rows[:6] == [
        *("-u", "paintbench", "--", "/opt/paintbench/venv/bin/paintbench", "place", "two words")
    ]
    assert "PAINTBENCH_DB=postgresql://a:b@c/d?e=f&g=$h" in rows, (
        "the shop's own line, as it stands"
    )
    assert "HOME=/var/lib/paintbench" in rows
    assert not [row for row in rows if row.startswith("PAINTBENCH_KIOSK")]


def test_paintbench_on_the_kiosk_tells_anybody_else_to_say_sudo(
    system: Path, tmp_path: Path
) -> None:
    run("--root", system)
    shim(tmp_path, "id", "echo 1000")
    done = subprocess.run(
        [system / "usr/local/bin/paintbench", "status"],
        env={"PATH": f"{tmp_path}:{os.environ['PATH']}"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 3
    assert (
        done.stderr
        == "paintbench: the bench's data belongs to paintbench: sudo paintbench status\n"
    )
