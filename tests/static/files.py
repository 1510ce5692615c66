"""Which files a static check looks at, and how each is compiled.

Read from build/files/compile_commands.json, which `cmake --preset files` writes. A header has no
command of its own; it is compiled as the sources beside it are.
"""
import json
import os
import pathlib
import re
import subprocess

TOP = pathlib.Path(__file__).resolve().parents[2]
COMMANDS = TOP / "build/files/compile_commands.json"
FOLDERS = ("core", "plugin")


class File:
    def __init__(self, name, target, flags):
        self.name = name      # relative to the source tree
        self.target = target  # the program or library that it is part of
        self.flags = flags    # the compiler and its options, without input and output


def every_file():
    """All sources of core and plugin, and all headers, by name."""
    files = {}
    for entry in json.loads(COMMANDS.read_text()):
        name = os.path.relpath(entry["file"], TOP)
        command = re.fullmatch(r"(.*) -o (\S+) -c \S+", entry["command"])
        target = re.search(r"([^/]+)\.dir/", command.group(2)).group(1)
        if name.startswith(tuple(folder + "/" for folder in FOLDERS)):
            files.setdefault(name, File(name, target, command.group(1)))
    sources = list(files.values())
    for folder in FOLDERS:
        for header in sorted((TOP / folder).rglob("*.hpp")):
            name = str(header.relative_to(TOP))
            beside = [source for source in sources
                      if os.path.dirname(source.name) == os.path.dirname(name)]
            like = (beside or [source for source in sources if source.name.startswith(folder)])[0]
            files[name] = File(name, like.target, like.flags)
    return files


def changed_lines(revision):
    """By name, how many lines have changed since `revision`; None where nobody can tell."""
    try:
        told = subprocess.run(["git", "diff", "--numstat", "--no-renames", revision, "--"],
                              cwd=TOP, capture_output=True, text=True, check=True).stdout
    except (FileNotFoundError, subprocess.CalledProcessError):  # a tarball, or a clone's first commit
        return None
    changed = {}
    for line in told.splitlines():
        added, removed, name = line.split("\t")
        changed[name] = sum(int(count) for count in (added, removed) if count.isdigit())
    return changed


def chosen(what, count_max):
    """The files to look at: "all" of them, or the `count_max` that changed most since a revision.

    Says what is left out. Where nobody can tell what has changed, the longest files are taken.
    """
    files = every_file()
    if what == "all":
        return list(files.values())
    changed = changed_lines(what)
    if changed is None:
        print(f"nobody can tell what has changed since {what}: the longest files are looked at")
        changed = {name: len((TOP / name).read_text().splitlines()) for name in files}
    names = sorted((name for name in changed if name in files), key=lambda name: -changed[name])
    left_out = names[count_max:]
    if left_out:
        print(f"{len(left_out)} changed files are left out, those that changed least:",
              *left_out, sep="\n  ")
    return [files[name] for name in names[:count_max]]
