"""Checking: all problems of some folders in one run.

    python -m backstay.knowledge.checking [--only PART] [FOLDER …]

prints those of the built-in folder and of the folders laid over it, one a line; with `--only` those of files whose path
holds PART. The exit status is 1 if there is an error among those shown.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from backstay.knowledge.compiling import compile_folders
from backstay.knowledge.folders import layers
from backstay.knowledge.problems import KnowledgeError, Problem, errors


def check(folders: Sequence[str] = ()) -> list[Problem]:
    """Everything that is wrong with the built-in folder and those laid over it."""
    try:
        return list(compile_folders(layers(folders)).problems)
    except KnowledgeError as error:
        return list(error.problems)


def main(arguments: Sequence[str] | None = None) -> int:
    """The command line above."""
    parser = argparse.ArgumentParser(prog="backstay.knowledge.checking", description="All problems of the knowledge.")
    parser.add_argument("folders", nargs="*", metavar="FOLDER")
    parser.add_argument("--only", default="", metavar="PART")
    options = parser.parse_args(arguments)
    shown = [problem for problem in check(options.folders) if options.only in problem.file]
    for problem in shown:
        print(problem)
    wrong = len(errors(shown))
    print(f"{wrong} errors, {len(shown) - wrong} warnings")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
