"""A project that depends on pathkit passes both type checkers at their strictest: README's example among it."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parent.parent
ROOT = TESTS.parent


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("consumer")
    (code,) = re.findall(r"```python\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.S)
    (place / "readme_example.py").write_text(code, encoding="utf-8")
    for file in (TESTS / "consumer").glob("*.py"):
        shutil.copy(file, place)
    shutil.copy(TESTS / "plugin" / "shopfloor_posts.py", place)
    return place


def run(command: list[str], place: Path) -> tuple[int, str]:
    done = subprocess.run(command, cwd=place, capture_output=True, text=True, check=False, env=None)
    return done.returncode, done.stdout + done.stderr


def test_mypy_finds_nothing(project: Path) -> None:
    # Looked at as an installed package would be: pathkit's own lines are not judged again.
    (project / "mypy.ini").write_text(
        f"[mypy]\nstrict = True\nfollow_imports = silent\nmypy_path = {ROOT}:{ROOT / 'posts'}\n"
        f"cache_dir = {ROOT / '.mypy_cache' / 'consumer'}\n",
        encoding="utf-8",
    )
    code, said = run([sys.executable, "-m", "mypy", "."], project)
    assert code == 0, said


def test_pyright_finds_nothing(project: Path) -> None:
    wanted = {"include": ["."], "typeCheckingMode": "strict", "extraPaths": [str(ROOT)], "pythonVersion": "3.11"}
    (project / "pyrightconfig.json").write_text(json.dumps(wanted), encoding="utf-8")
    code, said = run([sys.executable, "-m", "pyright", "--pythonpath", sys.executable, "--outputjson"], project)
    if not said.lstrip().startswith("{"):
        pytest.skip(f"pyright cannot run here, so that this was not looked at: {said[-200:]}")
    found = json.loads(said)["generalDiagnostics"]
    assert code == 0, [f"{Path(f['file']).name}:{f['range']['start']['line'] + 1}: {f['message']}" for f in found]
