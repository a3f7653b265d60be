"""The completion scripts are taken by the shells themselves and complete what there is."""

import os
import shutil
import subprocess
import sysconfig
from pathlib import Path

import pexpect
import pytest

from backstay.faces.command import COMMANDS, main, module_of
from backstay.faces.completions import SHELLS, script

BIN = sysconfig.get_path("scripts")
HAVE = [shell for shell in SHELLS if shutil.which(shell)]


def asked_of_bash(tmp_path: Path, line: str) -> list[str]:
    """What bash would offer for a line, by its own machinery."""
    file = tmp_path / "backstay.bash"
    file.write_text(script("bash"), encoding="utf-8")
    words = line.split(" ")
    quoted = " ".join(f"'{word}'" for word in words)
    program = f"""
        source {file}
        COMP_WORDS=({quoted}) COMP_CWORD={len(words) - 1}
        _backstay
        printf '%s\\n' "${{COMPREPLY[@]}}"
    """
    done = subprocess.run(["bash", "-c", program], capture_output=True, text=True, check=True, cwd=tmp_path)
    assert done.stderr == ""
    return done.stdout.split()


@pytest.mark.parametrize(
    "line, offers",
    [
        ("backstay ", ["ask", "check", "understand", "--plain"]),
        ("backstay und", ["understand"]),
        ("backstay ask --j", ["--json"]),
        ("backstay check c", ["club"]),
        ("backstay check --", ["--json", "--help"]),
        ("backstay ask --knowledge cl", ["club"]),
        ("backstay ask --case ", ["club", "case.json"]),
        ("backstay completions z", ["zsh"]),
        ("backstay help u", ["understand"]),
        ("backstay --kn", ["--knowledge"]),
    ],
)
def test_bash_offers(tmp_path: Path, line: str, offers: list[str]) -> None:
    (tmp_path / "club").mkdir()
    (tmp_path / "case.json").write_text("{}", encoding="utf-8")
    offered = asked_of_bash(tmp_path, line)
    assert set(offers) <= set(offered)
    last = line.split(" ")[-1]
    assert all(word.startswith(last) for word in offered)


@pytest.mark.parametrize("shell", HAVE)
def test_the_shell_takes_the_script(tmp_path: Path, shell: str) -> None:
    file = tmp_path / "script"
    file.write_text(script(shell), encoding="utf-8")
    done = subprocess.run([shell, "-n", str(file)], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.skipif("fish" not in HAVE, reason="fish is not installed")
def test_fish_offers(tmp_path: Path) -> None:
    file = tmp_path / "backstay.fish"
    file.write_text(script("fish"), encoding="utf-8")
    (tmp_path / "club").mkdir()

    def offers(line: str) -> list[str]:
        program = f"source {file}; complete -C '{line}'"
        home = {**os.environ, "HOME": str(tmp_path)}
        done = subprocess.run(
            ["fish", "-c", program], capture_output=True, text=True, check=True, cwd=tmp_path, env=home
        )
        return [offer.split("\t")[0] for offer in done.stdout.splitlines()]

    assert "understand" in offers("backstay und")
    assert "--json" in offers("backstay ask --j")
    assert "club/" in offers("backstay check cl")
    assert "zsh" in offers("backstay completions ")


@pytest.mark.skipif("zsh" not in HAVE, reason="zsh is not installed")
def test_zsh_completes(tmp_path: Path) -> None:
    (tmp_path / "_backstay").write_text(script("zsh"), encoding="utf-8")
    rest = {**os.environ, "HOME": str(tmp_path), "ZDOTDIR": str(tmp_path), "PATH": f"{BIN}:{os.environ['PATH']}"}
    (tmp_path / ".zshrc").write_text(
        f"fpath=({tmp_path} $fpath); autoload -Uz compinit; compinit -u; PS1='ready> '\n", encoding="utf-8"
    )
    child = pexpect.spawn("zsh", ["-i"], env={**rest, "TERM": "dumb"}, encoding="utf-8", timeout=20)
    child.expect("ready> ")
    child.send("backstay und\t")
    child.expect("understand")
    child.send("--js\t")
    child.expect("--json")
    child.sendcontrol("c")
    child.expect("ready> ")
    child.sendline("exit")
    child.expect(pexpect.EOF)


@pytest.mark.parametrize("shell", SHELLS)
def test_each_command_and_option_is_in_the_script(shell: str) -> None:
    text = script(shell)
    for command in COMMANDS:
        assert command in text
        for option in module_of(command).OPTIONS:
            assert option.name in text


@pytest.mark.parametrize("line, part", [([], "which shell"), (["zhs"], "zsh"), (["powershell"], "no script")])
def test_a_call_without_a_known_shell_says_which_there_are(
    capsys: pytest.CaptureFixture[str], line: list[str], part: str
) -> None:
    assert main(["completions", *line]) == 2
    said = capsys.readouterr()
    assert part in said.err
    assert "bash, zsh, fish" in said.err
    assert said.out == ""
