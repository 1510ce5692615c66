"""Do all places that name a version agree?

    python3 tests/package/versions.py DAEMON LIBRARY

The version of the program is written in CMakeLists.txt, that of the C interface in its header;
here everything else is compared with these two. A git tag is looked at where there is a repository.
"""
import datetime
import email.utils
import pathlib
import re
import subprocess
import sys

TOP = pathlib.Path(__file__).resolve().parents[2]


def text_of(file):
    return (TOP / file).read_text()


def numbers(version):
    return [int(part) for part in version.split(".")]


def said_by(*command):
    return subprocess.run(command, check=True, capture_output=True, text=True, cwd=TOP).stdout


def newest_named_in(file, pattern):
    return max(re.findall(pattern, text_of(file)), key=numbers)


def entries():
    """(version, instant, as written) of each entry of the list of changes, in its order."""
    found = []
    for part in re.split(r"^(?=wheymark \()", text_of("plugin/package/changelog"), flags=re.M)[1:]:
        version = re.match(r"wheymark \(([0-9.]+)\) ", part).group(1)
        written = re.search(r"^ -- .*>  (.*)$", part, flags=re.M).group(1)
        found.append((version, email.utils.parsedate_to_datetime(written), written))
    return found


def tags():
    """(version, whether it is this very commit) of each tag like v1.2.3, if this is a repository."""
    if not (TOP / ".git").exists():
        return []
    try:
        here = said_by("git", "tag", "--points-at", "HEAD").split()
        every = said_by("git", "tag", "--list", "v[0-9]*").split()
    except (FileNotFoundError, subprocess.CalledProcessError):  # no git, or not ours to look into
        return []
    return [(tag[1:], tag in here) for tag in every]


def main(daemon, library):
    wrong = []

    def agree(what, seen, expected):
        if seen != expected:
            wrong.append(f"{what}: {seen!r} where {expected!r} is expected")

    program = re.search(r"^project\(wheymark VERSION ([0-9.]+)", text_of("CMakeLists.txt"), re.M).group(1)
    interface = newest_named_in("plugin/wheymark.h", r"end of version ([0-9.]+)")
    major = interface.split(".")[0]

    agree("the daemon", said_by(daemon, "--version").strip(), f"wheymarkd {program}")
    agree("the library's file", pathlib.Path(library).resolve().name, f"libwheymark.so.{interface}.0")
    soname = re.search(r"soname: \[(.*)\]", said_by("readelf", "--dynamic", library)).group(1)
    agree("the soname", soname, f"libwheymark.so.{major}")
    agree("the soname in the header", f"{soname}," in text_of("plugin/wheymark.h"), True)
    agree("the entry point", f"wheymark_plugin_v{major};" in text_of("plugin/wheymark.map"), True)
    agree("the layout that is written down",
          newest_named_in("tests/hosts/version_1_layout.c", r"/\* version ([0-9.]+) \*/"), interface)

    changes = entries()
    agree("the newest entry of the list of changes", changes[0][0], program)
    agree("the order of its versions", [entry[0] for entry in changes],
          sorted((entry[0] for entry in changes), key=numbers, reverse=True))
    agree("the order of its dates", [entry[1] for entry in changes],
          sorted((entry[1] for entry in changes), reverse=True))
    now = datetime.datetime.now(datetime.timezone.utc)
    for version, instant, written in changes:
        agree(f"whether {version} was made in the future ({written})", instant > now, False)
        # The day of the week, too.
        agree(f"the date of {version}", written, instant.strftime("%a, %d %b %Y %H:%M:%S %z"))

    for tagged, is_here in tags():
        if is_here:
            agree("the tag of this commit", tagged, program)
        elif numbers(tagged) > numbers(program):
            wrong.append(f"there is a tag v{tagged}, which is later than {program}")

    for line in wrong:
        print(line, file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
