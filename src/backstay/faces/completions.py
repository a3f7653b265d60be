"""Completion on Tab for the shells people use: a script made from the table of commands and their options.

`backstay completions bash` prints a script; the help page says where to put it. Nothing of it is run here.
"""

from __future__ import annotations

from backstay.faces import output
from backstay.faces.options import Call, CallError, Option, nearest

OPTIONS = (Option("help"),)
# What stands behind the command, for completion: a kind of word as in the options; CHOICES, where there are only some.
WORDS = "SHELL"
SHELLS = CHOICES = ("bash", "zsh", "fish")
# A file in the function path is run as the function; sourced, it has to be registered.
_ZSH_START = ('if [[ $funcstack[1] == _backstay ]]; then _backstay "$@"; else compdef _backstay backstay; fi',)


class Entry:
    """One command as a shell completes it: its name, what it does, its options and the kind of word behind it."""

    __slots__ = ("about", "choices", "name", "options", "words")

    def __init__(
        self, name: str, about: str, options: tuple[tuple[Option, str], ...], words: str, choices: tuple[str, ...]
    ) -> None:
        self.name = name
        self.about = about
        self.options = options
        self.words = words
        self.choices = choices  # the words that may follow, where they are few and known


def run(call: Call) -> int:
    """Print the script for one shell."""
    if not call.words:
        raise CallError("call-no-shell", shells=", ".join(SHELLS))
    shell = call.words[0]
    if shell not in SHELLS:
        raise CallError("call-unknown-shell", shell=shell, shells=", ".join(SHELLS), near=nearest(shell, SHELLS))
    output.write(script(shell))
    return 0


def script(shell: str) -> str:
    """Return the completion script of one of SHELLS."""
    return {"bash": _bash, "zsh": _zsh, "fish": _fish}[shell](_entries())


def _entries() -> list[Entry]:
    """Read the table of commands; the chat, which has no name, comes first."""
    from backstay.faces.command import COMMANDS, module_of
    from backstay.knowledge.loading import load
    from backstay.reply.words import Words

    words = Words(load())
    entries = []
    for name in COMMANDS:
        module = module_of(name)
        options = tuple((option, words.say(f"option-{option.name}")) for option in module.OPTIONS)
        about = words.say(f"help-about-{name or 'chat'}")
        kind = getattr(module, "WORDS", "")
        choices = tuple(filter(None, COMMANDS)) if kind == "COMMAND" else getattr(module, "CHOICES", ())
        entries.append(Entry(name, about, options, kind, choices))
    return entries


def _bash(entries: list[Entry]) -> str:
    lines = ["_backstay() {", "  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} command="]
    lines += ["  [[ $COMP_CWORD -gt 1 && ${COMP_WORDS[1]} != -* ]] && command=${COMP_WORDS[1]}", "  case $before in"]
    for kind, how in (("FOLDER", "-d"), ("FILE", "-f")):
        takers = sorted(
            {f"--{option.name}" for entry in entries for option, _ in entry.options if option.value == kind}
        )
        if takers:
            lines.append(f'    {"|".join(takers)}) COMPREPLY=($(compgen {how} -- "$word")); return ;;')
    others = {
        option.name for entry in entries for option, _ in entry.options if option.value not in ("", "FOLDER", "FILE")
    }
    lines += [f"    {'|'.join('--' + name for name in sorted(others))}) COMPREPLY=(); return ;;", "  esac"]
    lines += ["  local words= folders=", "  case $command in"]
    for entry in entries:
        offered = [f"--{option.name}" for option, _ in entry.options]
        offered += [one.name for one in entries if one.name] if not entry.name else entry.choices
        folders = " folders=-d" if entry.words == "FOLDER" else ""
        lines.append(f"    {entry.name or chr(39) * 2}) words='{' '.join(offered)}'{folders} ;;")
    lines += [
        "  esac",
        '  COMPREPLY=($(compgen $folders -W "$words" -- "$word"))',
        "}",
        "complete -F _backstay backstay",
    ]
    return "\n".join(lines)


def _zsh(entries: list[Entry]) -> str:
    lines = ["#compdef backstay", "_backstay() {", "  local -a commands", "  commands=("]
    lines += [f"    {_quoted(_colon(entry.name) + ':' + entry.about)}" for entry in entries if entry.name]
    lines += [
        "  )",
        "  if (( CURRENT == 2 )) && [[ $words[2] != -* ]]; then",
        "    _describe command commands",
        "    return",
    ]
    lines += [
        "  fi",
        "  local command=$words[2]",
        "  if [[ $command == -* ]]; then command=; else shift words; (( CURRENT-- )); fi",
        "  case $command in",
    ]
    for entry in entries:
        lines.append(f"    {entry.name or chr(39) * 2})")
        specs = [
            _quoted(f"--{option.name}{_zsh_value(option)}".replace("[", f"[{_plain(about)}]", 1))
            for option, about in entry.options
        ]
        rest = "_files -/" if entry.words == "FOLDER" else f"({' '.join(entry.choices)})"
        if entry.words:
            specs.append(_quoted(f"*:{entry.words.lower()}:{rest}"))
        lines += [f"      _arguments {' '.join(specs)}", "      ;;"]
    return "\n".join([*lines, "  esac", "}", *_ZSH_START])


def _zsh_value(option: Option) -> str:
    if not option.value:
        return "["
    how = {"FOLDER": "_files -/", "FILE": "_files"}.get(option.value, "")
    return f"[:{option.value.lower()}:{how}"


def _fish(entries: list[Entry]) -> str:
    lines = ["complete -c backstay -f"]
    for entry in entries:
        if entry.name:
            lines.append(f"complete -c backstay -n __fish_use_subcommand -a {entry.name} -d {_quoted(entry.about)}")
        when = f"'__fish_seen_subcommand_from {entry.name}'" if entry.name else "__fish_use_subcommand"
        for option, about in entry.options:
            value = {"": "", "FOLDER": " -x -a '(__fish_complete_directories)'", "FILE": " -r -F"}.get(
                option.value, " -x"
            )
            lines.append(f"complete -c backstay -n {when} -l {option.name}{value} -d {_quoted(about)}")
        if entry.words == "FOLDER":
            lines.append(f"complete -c backstay -n {when} -a '(__fish_complete_directories)'")
        elif entry.words:
            lines.append(f"complete -c backstay -n {when} -a {_quoted(' '.join(entry.choices))}")
    return "\n".join(lines)


def _quoted(text: str) -> str:
    """A text in single quotes, as all three shells read them."""
    return "'" + text.replace("'", "'\\''") + "'"


def _plain(text: str) -> str:
    """A text without the marks that zsh reads as its own inside a description."""
    return text.replace("[", "(").replace("]", ")").replace(":", " -")


def _colon(text: str) -> str:
    return text.replace(":", "\\:")
