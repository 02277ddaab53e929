"""The command line in this process: words in, (exit code, standard output, standard error) out."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from divelog.cli import main
from divelog.home import data_folder

WORKED = Path(__file__).resolve().parents[1] / "data" / "worked_journal.jsonl"


@pytest.fixture
def samples(tmp_path: Path) -> Path:
    """A home with the sample boats and no logbook."""
    root = tmp_path / "home"
    shutil.copytree(data_folder("sample_boats"), root, ignore=shutil.ignore_patterns("logbook"))
    return root


@pytest.fixture
def worked(samples: Path, clock) -> Path:
    """The sample boats with the worked journal of Tansy, at the moment of the module's own ``clock``."""
    folder = samples / "logbook" / "tansy"
    folder.mkdir(parents=True)
    lines = WORKED.read_bytes().splitlines(keepends=True)
    (folder / "before.jsonl").write_bytes(b"".join(line for line in lines if b'"boat":"tansy"' in line))
    kit = samples / "logbook" / "_kit"
    kit.mkdir()
    (kit / "before.jsonl").write_bytes(b"".join(line for line in lines if b'"boat":"tansy"' not in line))
    return samples


@pytest.fixture
def call(capsys: pytest.CaptureFixture[str]):
    """Run one call."""

    def run(*words: str) -> tuple[int, str, str]:
        code = main([str(w) for w in words])
        out = capsys.readouterr()
        assert "Traceback" not in out.err
        return code, out.out, out.err

    return run


@pytest.fixture
def call_json(call):
    """Run one call with ``--json``: exit code and the one object on standard output."""

    def run(*words: str) -> tuple[int, dict]:
        code, out, _ = call(*words, "--json")
        return code, json.loads(out) if out.strip() else {}

    return run
