"""``divelog completion``: scripts made of the parser itself; bash's is run."""

from __future__ import annotations

import shutil
import subprocess

import pytest

from divelog.cli import build_parser


def _verbs() -> list[str]:
    return next(list(a.choices) for a in build_parser()._actions if a.dest == "verb")


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_every_verb_and_the_options_stand_in_the_script(samples, call, shell):
    code, out, _ = call("--home", samples, "completion", shell)
    assert code == 0
    assert len(_verbs()) > 20
    for verb in _verbs():
        assert verb in out
    assert "reading" in out
    assert str(samples) in out


def test_another_shell_is_a_wrong_call(samples, call):
    assert call("--home", samples, "completion", "other")[0] == 2


@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash here")
@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("sheet ta", {"tansy", "tag"}),
        ("sheet tansy tro", {"trouble"}),
        ("--home somewhere ex", {"examine", "explain", "export"}),
        ("limits --no-h", {"--no-history"}),
        ("completion f", {"fish"}),
        ("share bul", {"bulrush"}),
    ],
)
def test_bash_completes(samples, call, typed, wanted):
    script = call("--home", samples, "completion", "bash")[1]
    words = ["divelog", *typed.split(" ")]
    asked = f"COMP_WORDS=({' '.join(words)}); COMP_CWORD={len(words) - 1}; _divelog; printf '%s\\n' \"${{COMPREPLY[@]}}\""
    done = subprocess.run(
        ["bash", "-c", f"unset DIVELOG_HOME\n{script}\n{asked}"], capture_output=True, text=True, timeout=30
    )
    assert done.returncode == 0, done.stderr
    assert set(done.stdout.split()) == wanted


@pytest.mark.parametrize("shell", ["zsh", "fish"])
def test_the_other_shells_take_their_scripts(samples, call, shell, tmp_path):
    found = shutil.which(shell)
    if found is None:
        pytest.skip(f"no {shell} here")
    file = tmp_path / "script"
    file.write_text(call("--home", samples, "completion", shell)[1])
    assert subprocess.run([found, "-n", str(file)], capture_output=True, timeout=30).returncode == 0
