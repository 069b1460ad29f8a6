"""What is built for others: all that is needed, nothing else, and it works from a folder that it leaves as it was."""

from __future__ import annotations

import ast
import importlib.metadata
import os
import re
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path

import pytest

import pathkit as pk

ROOT = Path(__file__).resolve().parent.parent

pytest.importorskip("hatchling")


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the wheel and the source archive."""
    folder = tmp_path_factory.mktemp("built")
    done = subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-d", str(folder)],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return folder


@pytest.fixture(scope="module")
def wheel(built: Path) -> Path:
    (found,) = built.glob("*.whl")
    return found


def test_the_wheel_holds_the_library_the_guides_and_nothing_else(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    tops = {name.split("/")[0] for name in names}
    assert tops == {"pathkit", "pathkit_posts", f"pathkit_cam-{pk.__version__}.dist-info"}
    assert not [name for name in names if name.endswith((".pyc", ".nbi", ".nbc")) or "__pycache__" in name]
    for name in (
        "pathkit/py.typed", "pathkit/__init__.pyi", "pathkit/LICENSE", "pathkit_posts/py.typed",
        "pathkit_posts/machines/grbl-front-left.toml", "pathkit/docs/guides/using.md",
        "pathkit/docs/guides/dialects.md", "pathkit/docs/guides/developers.md",
    ):  # fmt: skip
        assert name in names, name
    tracked = subprocess.run(
        ["git", "ls-files", "pathkit", "posts/pathkit_posts"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.split()
    assert {name.removeprefix("posts/") for name in tracked} <= set(names)


def test_the_source_archive_can_be_tested(built: Path) -> None:
    (archive,) = built.glob("*.tar.gz")
    with tarfile.open(archive) as opened:
        names = opened.getnames()
    top = f"pathkit_cam-{pk.__version__}"
    for name in ("README.md", "DEVELOPERS.md", "posts/README.md", "tests/conftest.py", "pyproject.toml", "PKG-INFO"):
        assert f"{top}/{name}" in names, name


def imported() -> dict[str, Path]:
    """Packages that are neither the library's nor Python's own, each with a file that imports it."""
    found: dict[str, Path] = {}
    for path in (*ROOT.glob("pathkit/**/*.py"), *ROOT.glob("posts/pathkit_posts/**/*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                names = [alias.name for alias in node.names]
            else:
                names = [node.module or ""] if isinstance(node, ast.ImportFrom) and not node.level else []
            found |= {name.split(".")[0]: path for name in names if name}
    own = {"pathkit", "pathkit_posts"}
    return {name: path for name, path in found.items() if name not in own | sys.stdlib_module_names}


def test_every_import_is_declared() -> None:
    """What the library imports is among its requirements, or among those of an extra."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    needs = [*project["dependencies"], *(need for extra in project["optional-dependencies"].values() for need in extra)]
    declared = {canonical(re.split(r"[>=<\[]", need)[0]) for need in needs}
    providing = importlib.metadata.packages_distributions()
    for name, path in imported().items():
        packages = {canonical(package) for package in providing.get(name, [name])}
        assert packages & declared, f"{name}, imported by {path}"


def canonical(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


USE = """
import pathkit as pk
from pathkit.testing import demonstration
machine = pk.load_machine("grbl-front-left")
posted = pk.post(demonstration(), machine)
from pathkit.docs.pages import GUIDES, guide
assert all(len(guide(name)) > 1000 for name in GUIDES)
print(pk.verify(posted, demonstration(), machine)["same path"].status, pk.__file__)
"""


def test_it_works_from_a_folder_that_it_leaves_as_it_was(wheel: Path, tmp_path: Path) -> None:
    """Nothing is written among the modules: a read-only installation works, and removing it leaves nothing behind."""
    site = tmp_path / "site"
    zipfile.ZipFile(wheel).extractall(site)
    before = {path: path.stat().st_mtime_ns for path in site.rglob("*")}
    for path in site.rglob("*"):
        path.chmod(0o555 if path.is_dir() else 0o444)
    environment = {key: value for key, value in os.environ.items() if key != "NUMBA_CACHE_DIR"}
    environment |= {
        "PYTHONPATH": str(site), "PYTHONDONTWRITEBYTECODE": "1", "XDG_CACHE_HOME": str(tmp_path / "caches")
    }  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", USE], cwd=tmp_path, env=environment, capture_output=True, text=True,
        check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stdout.split()[0] == "passed"
    assert str(site) in done.stdout
    assert {path: path.stat().st_mtime_ns for path in site.rglob("*")} == before
    if sys.platform == "linux":
        assert list((tmp_path / "caches" / "pathkit" / pk.__version__).rglob("*.nbc"))
