"""scripts/run on machines where something is missing: one plain line, and nothing left behind."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from itertools import pairwise, product
from pathlib import Path
from signal import SIGKILL
from textwrap import dedent

import pip
import pytest

CHECKOUT = Path(__file__).resolve().parents[2]

# All that scripts/run may lean on, besides python3: each is in every Debian and Ubuntu.
TOOLS = [
    "awk",
    "bash",
    "cat",
    "dirname",
    "env",
    "flock",
    "grep",
    "mktemp",
    "mv",
    "readlink",
    "rm",
    "sha256sum",
    "sh",
    "sync",
]

NO_VENV_MODULE = "sys.modules['ensurepip'] = None"
TOO_OLD = "sys.version_info = (3, 9, 18)"


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """A checkout without its program, at a path with a space in it."""
    root = tmp_path / "paint shop"
    shutil.copytree(CHECKOUT / "scripts", root / "scripts")
    (root / "bench").mkdir()
    for name in ("pyproject.toml", "requirements.lock", "LICENSE", "bench/__init__.py"):
        shutil.copy(CHECKOUT / name, root / name)
    return root


@pytest.fixture
def bin_dir(tmp_path: Path) -> Path:
    """A PATH with the tools and no Python."""
    folder = tmp_path / "bin"
    folder.mkdir()
    for tool in TOOLS:
        found = shutil.which(tool)
        assert found, f"this test needs {tool}"
        (folder / tool).symlink_to(found)
    return folder


def put_python(bin_dir: Path, name: str, spoiled_by: str) -> None:
    """A Python that answers `-c` after `spoiled_by` and can do nothing else."""
    fake = bin_dir / name
    fake.write_text(
        "#!/bin/sh\n"
        'while [ $# -gt 0 ] && [ "$1" != -c ]; do shift; done\n'
        '[ "$1" = -c ] || exit 99\n'
        f'exec "{sys.executable}" -c "import sys; {spoiled_by}\n$2"\n'
    )
    fake.chmod(0o755)


def run(
    script: Path, bin_dir: Path, *arguments: str, **environment: str
) -> subprocess.CompletedProcess[str]:
    """Run a script with nothing but `bin_dir` on its PATH, from a directory not its own."""
    return subprocess.run(
        [script, *arguments],
        env={"PATH": str(bin_dir), "HOME": str(bin_dir), **environment},
        cwd=bin_dir,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
        start_new_session=True,
    )


@pytest.mark.parametrize("name", ["run", "test"])
def test_missing_python3_venv_is_one_line_that_names_the_package(
    name: str, checkout: Path, bin_dir: Path
) -> None:
    put_python(bin_dir, "python3", NO_VENV_MODULE)
    done = run(checkout / "scripts" / name, bin_dir)
    assert done.returncode == 3
    assert done.stdout == ""
    assert done.stderr.splitlines() == [
        "paintbench: the package python3-venv is missing: sudo apt install python3-venv"
    ]
    assert not (checkout / ".venv").exists()


def test_a_python_that_is_too_old_is_named_with_what_is_needed(
    checkout: Path, bin_dir: Path
) -> None:
    put_python(bin_dir, "python3", TOO_OLD)
    done = run(checkout / "scripts/run", bin_dir)
    assert done.returncode == 3
    assert done.stderr.splitlines() == [
        "paintbench: needs Python 3.11 or newer and found python3 3.9.18: "
        "sudo apt install python3 python3-venv"
    ]
    assert not (checkout / ".venv").exists()


def test_no_python_at_all_is_one_line(checkout: Path, bin_dir: Path) -> None:
    done = run(checkout / "scripts/run", bin_dir)
    assert done.returncode == 3
    assert done.stderr.splitlines() == [
        "paintbench: needs Python 3.11 or newer and found none: "
        "sudo apt install python3 python3-venv"
    ]


def test_a_newer_python_beside_an_old_python3_is_asked_for_its_own_venv_package(
    checkout: Path, bin_dir: Path
) -> None:
    put_python(bin_dir, "python3", TOO_OLD)
    put_python(bin_dir, "python3.12", NO_VENV_MODULE)
    done = run(checkout / "scripts/run", bin_dir)
    assert done.returncode == 3
    assert done.stderr.endswith("is missing: sudo apt install python3.12-venv\n")


def put_python_with_our_pip(bin_dir: Path) -> None:
    """The real Python; a venv of it is given the pip that is here, which unpacks nothing anew."""
    real = Path(sys.base_prefix) / "bin/python3"
    fake = bin_dir / "python3"
    fake.write_text(
        f'#!/bin/sh\nPATH=/usr/bin:/bin\n[ "$2" = -m ] || exec "{real}" "$@"\n'
        f'"{real}" -I -m venv --without-pip -- "$5" || exit\n'
        f'ln -s "{Path(pip.__file__).parent}" "$5"/lib/python*/site-packages/\n'
    )
    fake.chmod(0o755)


def test_without_a_network_it_says_so_and_leaves_no_half_made_venv(
    checkout: Path, bin_dir: Path
) -> None:
    put_python_with_our_pip(bin_dir)
    log = checkout / ".venv-setup.log"
    done = run(
        checkout / "scripts/run",
        bin_dir,
        PIP_INDEX_URL="http://127.0.0.1:9/simple",  # the discard port: nobody listens
        PIP_CONFIG_FILE=os.devnull,
        PIP_RETRIES="0",
    )
    assert done.returncode == 3
    assert done.stderr.splitlines()[1:] == [
        "paintbench: could not install the packages: no connection to the package index; "
        f"the log is {log}"
    ]
    assert log.is_file()
    assert not (checkout / ".venv").exists()


@pytest.fixture
def installed(checkout: Path) -> Path:
    """The environment of a checkout that was set up, with a program that says where it runs."""
    venv_bin = checkout / ".venv/bin"
    venv_bin.mkdir(parents=True)
    (venv_bin / "python").symlink_to(sys.executable)
    program = venv_bin / "paintbench"
    program.write_text('#!/bin/sh\nprintf "%s|" "$PWD" "$@"\nexit 2\n')
    program.chmod(0o755)
    stamp = 'source "$1"; fingerprint >"$venv/.stamp-run"'
    subprocess.run(["bash", "-c", stamp, "bash", checkout / "scripts/run"], check=True)
    return checkout / ".venv"


def updated(checkout: Path) -> None:
    with (checkout / "requirements.lock").open("a") as lock:
        lock.write("# a new pin\n")


def test_with_nothing_to_do_it_is_quiet_and_hands_its_arguments_on(
    checkout: Path, bin_dir: Path, installed: Path
) -> None:
    done = run(checkout / "scripts/run", bin_dir, "demo", "two words")
    assert (done.returncode, done.stderr) == (2, "")
    assert done.stdout == f"{bin_dir}|demo|two words|"


EARLIER = "paintbench: starting with the earlier packages; what is new may not work until a set-up succeeds"


@pytest.mark.parametrize(
    ("why", "killed"), list(product(("no network", "no Python"), (False, True)))
)
def test_where_an_update_cannot_be_set_up_the_earlier_environment_starts_and_that_is_said(
    checkout: Path, bin_dir: Path, installed: Path, why: str, killed: bool
) -> None:
    updated(checkout)
    if killed:
        installed.rename(checkout / ".venv.old")
        (installed / "bin").mkdir(parents=True)
    if why == "no network":
        put_fakes(bin_dir)
        (bin_dir / "offline").touch()
    for _ in range(2):
        done = run(checkout / "scripts/run", bin_dir, "status")
        assert (done.returncode, done.stdout) == (2, f"{bin_dir}|status|"), done.stderr
        assert done.stderr.splitlines()[-1] == EARLIER
        wanted = "no connection" if why == "no network" else "needs Python"
        assert wanted in done.stderr.splitlines()[-2]
        assert not (checkout / ".venv.old").exists()


MOMENTS = ["venv half made", "before packages", "amid packages", "before program", "before stamp"]
"""Where a set-up is killed, in its order."""


def put_fakes(bin_dir: Path) -> None:
    """A Python and a ``sync`` that set up without a download, and are killed where ``cut`` says.

    Where ``offline`` is, the packages cannot be had; the words are pip's own, from memory, and its
    real ones are read in ``test_without_a_network``. The environment's python is a link to this one.
    """
    fakes = {
        "python3": """
            case "$*" in
                *" -c "*) echo 3.12.0 ;;
                *"-m venv"*)
                    for folder; do :; done
                    mkdir -p "$folder/bin"
                    at 'venv half made'
                    ln -s "$here/python3" "$folder/bin/python"
                    ;;
                *--require-hashes*)
                    at 'before packages'
                    if [ -e "$here/offline" ]; then
                        echo 'WARNING: Retrying after connection broken by NewConnectionError'
                        exit 1
                    fi
                    : >"${0%/bin/*}/some"
                    at 'amid packages'
                    : >"${0%/bin/*}/others"
                    ;;
                *)
                    at 'before program'
                    [ -e "${0%/bin/*}/some" ] && [ -e "${0%/bin/*}/others" ] || exit 1
                    printf '#!/bin/sh\necho "new $*"; exit 2\n' >"${0%python}paintbench"
                    chmod 755 "${0%python}paintbench"
                    ;;
            esac
            """,
        "sync": "at 'before stamp'",
    }
    for name, does in fakes.items():
        fake = bin_dir / name
        fake.unlink(missing_ok=True)
        # The whole group of processes goes at once, as it does when the power is cut.
        fake.write_text(
            f"#!/bin/sh\nPATH=/usr/bin:/bin here='{bin_dir}'\n"
            'at() { [ "$(cat "$here/cut" 2>/dev/null)" != "$1" ] || kill -KILL 0; }\n'
            f"{dedent(does)}\n"
        )
        fake.chmod(0o755)


NETWORK, NO_NETWORK = False, True
IN_SHORT = {
    ("venv half made", "set up before", NO_NETWORK),
    ("before packages", "fresh", NO_NETWORK),
    ("amid packages", "set up before", NETWORK),
    ("before program", "set up before", NO_NETWORK),
    ("before stamp", "fresh", NETWORK),
}
"""In the normal run each moment once, on a machine of each kind, with and without the network."""


@pytest.mark.parametrize(
    ("moment", "machine", "offline"),
    [
        pytest.param(*each, marks=() if each in IN_SHORT else pytest.mark.long)
        for each in product(MOMENTS, ("fresh", "set up before"), (NETWORK, NO_NETWORK))
    ],
)
def test_after_a_set_up_that_was_killed_the_next_start_sets_up_or_says_why_not(
    checkout: Path,
    bin_dir: Path,
    request: pytest.FixtureRequest,
    moment: str,
    machine: str,
    offline: bool,
) -> None:
    if machine == "set up before":
        request.getfixturevalue("installed")
        updated(checkout)
    put_fakes(bin_dir)
    (bin_dir / "cut").write_text(moment)
    assert run(checkout / "scripts/run", bin_dir, "status").returncode == -SIGKILL
    assert not (checkout / ".venv/.stamp-run").exists(), "it vouches for nothing yet"
    (bin_dir / "cut").unlink()
    if offline:
        (bin_dir / "offline").touch()
        said = run(checkout / "scripts/run", bin_dir, "status")
        assert "no connection to the package index" in said.stderr.splitlines()[1]
        if machine == "fresh":
            assert (said.returncode, said.stdout) == (3, "")
            assert len(said.stderr.splitlines()) == 2
            assert not (checkout / ".venv").exists()
        else:
            assert (said.returncode, said.stdout) == (2, f"{bin_dir}|status|")
            assert said.stderr.splitlines()[2:] == [EARLIER]
        (bin_dir / "offline").unlink()
    done = run(checkout / "scripts/run", bin_dir, "status")
    assert (done.returncode, done.stdout) == (2, "new status\n"), done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert "setting up .venv" in done.stderr
    assert not list(checkout.glob(".venv?*"))
    again = run(checkout / "scripts/run", bin_dir, "status")
    assert (again.returncode, again.stdout, again.stderr) == (2, "new status\n", "")


def test_a_package_whose_file_has_another_sum_is_not_installed(tmp_path: Path) -> None:
    root = tmp_path / "shop"
    shutil.copytree(CHECKOUT / "scripts", root / "scripts")
    (root / "wheels").mkdir()
    (root / "wheels/pint-0.25.3-py3-none-any.whl").write_bytes(b"something else")
    lock = (CHECKOUT / "requirements.lock").read_text()
    entry = lock[lock.index("pint==") : lock.index("platformdirs==")]
    (root / "requirements.lock").write_text(f"## run\n{entry}")
    venv = tmp_path / "venv"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", venv], check=True)
    (site_packages,) = venv.glob("lib/python*/site-packages")
    (site_packages / "pip").symlink_to(Path(pip.__file__).parent)
    done = subprocess.run(
        [root / "scripts/install-packages", tmp_path / "venv/bin/python", root, "run"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode != 0
    assert "DO NOT MATCH THE HASHES" in done.stderr


def test_every_package_of_the_lock_file_has_a_sum_and_stands_in_one_section() -> None:
    lines = (CHECKOUT / "requirements.lock").read_text().splitlines()
    names = [line.split("==")[0] for line in lines if line[:1].isalnum()]
    assert len(names) == len(set(names))
    assert all(
        after.lstrip().startswith("--hash=sha256:")
        for line, after in pairwise(lines)
        if line[:1].isalnum()
    )
    assert [line for line in lines if line.startswith("## ")] == [
        "## run",
        "## postgres",
        "## plan",
        "## test",
    ]


def test_the_scripts_pass_shellcheck() -> None:
    """By the shellcheck among the tools for testing (Debian's is older)."""
    scripts = [path for path in sorted((CHECKOUT / "scripts").rglob("*")) if path.is_file()]
    ours = [path for path in scripts if path.read_bytes().startswith(b"#!")]
    assert CHECKOUT / "scripts/install-kiosk" in ours
    shellcheck = Path(sys.executable).parent / "shellcheck"
    subprocess.run([shellcheck, "-x", *ours, ".ci/run"], cwd=CHECKOUT, check=True)
