#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Do the tests notice when the code is wrong?

Flips one operator or constant at a time in models/, sim/solve and sim/judge, and runs the test
programs until one fails. Nothing of the source is touched: the changed copy of a file is compiled
by itself and linked before the library. What no program notices is listed: each is either the same
program in other words, or wants a test.

    tests/mutation.py [--count 120] [--seed 1] [--only models/trim.c] [--list] [--again FILE]
                      [--tests 'test_pinned_*']

--again judges once more what an output kept in FILE calls a survivor, wherever that line now stands.
--tests asks only some of the programs: first the cheap ones that look at much, then, with --again,
the others about what is left.
"""
import argparse
import collections
import concurrent.futures
import fnmatch
import json
import math
import os
import random
import re
import resource
import shlex
import shutil
import signal
import subprocess
import sys
import tempfile

ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
BUILD = os.path.join(ROOT, os.environ.get("LOWLIFT_BUILD", "build/mutation"))
LINKER = ["-fuse-ld=gold"] if shutil.which("ld.gold") else []  # in half the time
FOLDERS = ("models", "sim/solve", "sim/judge")
# Files that stand in for these only in a page.
SKIPPED = ("sim/solve/eigenvalues_qr.c",)

# Programs that look at most of a folder.
BROAD = {
    "models": ("pinned_model", "pinned_laws", "pinned_rest", "slopes", "regulator", "pipe", "events",
               "invariants"),
    "sim/solve": ("pinned_matrices", "pinned_steps", "pinned_runs", "pinned_rest", "integrate",
                  "one_step", "integrate_end", "equilibrium", "linearise"),
    "sim/judge": ("pinned_judge", "pinned_verdict", "verdict", "verdict_motion"),
}

# What is flipped: pattern, and what becomes of it. Binary operators stand between blanks, as the
# formatter sets them; a pointer's star does not.
FLIPS = [
    (r"(?<= )<(?= )", ("<=", ">=")),
    (r"(?<= )>(?= )", (">=", "<=")),
    (r"(?<= )<=(?= )", ("<", ">")),
    (r"(?<= )>=(?= )", (">", "<")),
    (r"(?<= )==(?= )", ("!=",)),
    (r"(?<= )!=(?= )", ("==",)),
    (r"(?<= )&&(?= )", ("||",)),
    (r"(?<= )\|\|(?= )", ("&&",)),
    (r"(?<= )\+(?= )", ("-",)),
    (r"(?<= )-(?= )", ("+",)),
    (r"(?<= )\*(?= )", ("/",)),
    (r"(?<= )/(?= )", ("*",)),
    (r"(?<= )\+=(?= )", ("-=",)),
    (r"(?<= )-=(?= )", ("+=",)),
    (r"(?<= )\*=(?= )", ("/=",)),
    (r"(?<![A-Za-z0-9_)\]])!(?=[A-Za-z(])", ("",)),
    (r"(?<=[(,=?:] )-(?=[A-Za-z0-9(])", ("",)),
    (r"(?<=\()-(?=[A-Za-z0-9(])", ("",)),
    (r"(?<=return )-(?=[A-Za-z0-9(])", ("",)),
    (r"\bfmin\b", ("fmax",)),
    (r"\bfmax\b", ("fmin",)),
    (r"\btrue\b", ("false",)),
    (r"\bfalse\b", ("true",)),
    (r"(?<![A-Za-z0-9_.])\d+\.\d+(?:e[-+]?\d+)?(?![A-Za-z0-9_.])", None),
    (r"(?<![A-Za-z0-9_.])\d+(?![A-Za-z0-9_.])", None),
]


def flipped(pattern_result, word):
    """What a word becomes, one or more ways."""
    if pattern_result is not None:
        return pattern_result
    if "." in word or "e" in word:
        value = float(word)
        return ("1.0",) if value == 0.0 else (repr(value * 1.5),)
    return (str(int(word) + 1),)


def blanked(text):
    """The text with comments, strings and directives blanked, of the same length."""
    def blank(match):
        return re.sub(r"[^\n]", " ", match.group(0))
    text = re.sub(r"//[^\n]*|/\*.*?\*/|\"(?:\\.|[^\"\\\n])*\"|'(?:\\.|[^'\\\n])*'", blank, text,
                  flags=re.S)
    text = re.sub(r"^[ \t]*#[^\n]*(?:\\\n[^\n]*)*", blank, text, flags=re.M)
    return re.sub(r"\b(?:static_|_Static_)?assert\([^;]*;", blank, text)


def mutants(path):
    with open(os.path.join(ROOT, path), encoding="utf-8") as file:
        text = file.read()
    seen = blanked(text)
    for pattern, result in FLIPS:
        for match in re.finditer(pattern, seen):
            for new in flipped(result, match.group(0)):
                yield (path, match.start(), match.end(), new)


def line_of(text, at):
    return text.count("\n", 0, at) + 1


def limit(seconds):
    def set_limits():
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
        resource.setrlimit(resource.RLIMIT_AS, (4 << 30, 4 << 30))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    return set_limits


class Program:
    """A test program: how it is linked, what it holds, how long it takes."""

    def __init__(self, name, link):
        self.name, self.link, self.cost = name, link, 0.0
        self.path = os.path.join(BUILD, "tests", name)
        out = subprocess.run(["nm", self.path], capture_output=True, text=True, check=True).stdout
        # What the objects offer each other is hidden, so local in a program.
        self.symbols = {row.split()[-1] for row in out.splitlines() if re.search(" [Tt] ", row)}

    def run(self, path, seconds):
        # A build that counts lines keeps its counts.
        environment = dict(os.environ, LOWLIFT_BUILD=BUILD, GCOV_PREFIX=tempfile.gettempdir())
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        done = subprocess.run([path], cwd=ROOT, env=environment, stdin=subprocess.DEVNULL,
                              stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
                              preexec_fn=limit(seconds), check=False)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        return done.returncode, used

    def link_with(self, thing, folder):
        """The program with an object of its own in front of the library."""
        out = os.path.join(folder, "program")
        words = shlex.split(self.link)
        words[words.index("-o") + 1] = out
        words.insert(words.index("-o"), thing)
        words += LINKER
        done = subprocess.run(words, cwd=BUILD, capture_output=True, check=False)
        return out if done.returncode == 0 else None


def sh(*words):
    subprocess.run(words, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)


def sources():
    """The cmocka tests."""
    return [name for name in sorted(os.listdir(os.path.join(ROOT, "tests")))
            if name.startswith("test_") and name.endswith(".c")]


def build(names):
    """As users get it, but the model's files apart; or whatever LOWLIFT_BUILD names, built already."""
    if "LOWLIFT_BUILD" not in os.environ:
        sh("cmake", "-S", ".", "-B", BUILD, "-G", "Ninja", "-DCMAKE_BUILD_TYPE=Release",
           "-DLOWLIFT_TESTS=ON")
        sh("cmake", "--build", BUILD, "--target",
           *("tests/" + name for name in names))


def known_costs():
    """Seconds that each test took when ctest ran it in this build; then no other is asked."""
    path = os.path.join(BUILD, "Testing", "Temporary", "CTestCostData.txt")
    costs = {}
    if os.path.exists(path):
        with open(path, encoding="utf-8") as file:
            for row in file:
                words = row.split()
                if len(words) == 3 and int(words[1]) > 0:
                    costs["test_" + words[0]] = float(words[2])
    return costs


def programs(names, dearest):
    """Those test programs that a run can afford, cheapest first."""
    found, known, link = [], known_costs(), {}
    out = subprocess.run(["ninja", "-t", "commands", *("tests/" + name for name in names)],
                         cwd=BUILD, capture_output=True, text=True, check=True).stdout
    for row in out.splitlines():
        made = re.search(r" -o tests/(test_\w+) ", row)
        if made:
            link[made[1]] = row.removeprefix(": && ").removesuffix(" && :")
    for name in names:
        if known and name not in known:
            continue
        program = Program(name, link[name])
        if name in known:
            code, program.cost = 0, known[name]
        else:
            code, program.cost = program.run(program.path, math.ceil(dearest))
        if program.cost >= dearest or code in (-signal.SIGKILL, -signal.SIGXCPU):
            continue
        if code != 0:
            print(f"{name} fails by itself (code {code}): left out")
        else:
            found.append(program)
    return sorted(found, key=lambda p: p.cost)


def compile_commands():
    with open(os.path.join(BUILD, "compile_commands.json"), encoding="utf-8") as file:
        return {os.path.relpath(row["file"], ROOT): row["command"] for row in json.load(file)}


def wilson(caught, count):
    """95 % interval of a share. Source: E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209."""
    z = 1.959964
    share = caught / count
    middle = share + z * z / (2 * count)
    half = z * math.sqrt(share * (1 - share) / count + z * z / (4 * count * count))
    scale = 1 + z * z / count
    return (middle - half) / scale, (middle + half) / scale


def compiled(command, path, text, folder):
    """Object of a changed text, or None when it is no C any more."""
    # Beside its folder's other files, so that its includes are found.
    copy = os.path.join(folder, os.path.basename(path))
    with open(copy, "w", encoding="utf-8") as file:
        file.write(text)
    out = os.path.join(folder, "mutant.o")
    words = shlex.split(command)
    words[words.index("-o") + 1] = out
    words[-1] = copy
    words += ["-I" + os.path.join(ROOT, os.path.dirname(path)), "-w"]
    done = subprocess.run(words, cwd=BUILD, capture_output=True, check=False)
    return out if done.returncode == 0 else None


def noticed(thing, path, tests, folder, noticers):
    """Name of the first program that notices, or None. First those that noticed another mistake in the
    same file, then the one of the file's own name, then what looks at most of its folder."""
    defined = subprocess.run(["nm", thing], capture_output=True, text=True, check=True).stdout
    symbols = {row.split()[-1] for row in defined.splitlines() if " T " in row}
    stem = os.path.basename(path)[:-2]
    near = [p for p in tests if symbols & p.symbols]

    def distance(program):
        own = program.name[5:]
        return (-noticers[program.name], own != stem, not stem.startswith(own),
                own not in BROAD[folder_of(path)], program.cost)
    for program in sorted(near, key=distance):
        linked = program.link_with(thing, folder)
        if not linked:
            raise RuntimeError(f"{program.name} cannot be linked with {path}")
        code, _ = program.run(linked, int(10 * program.cost) + 5)
        if code != 0:
            noticers[program.name] += 1
            return program.name
    return None


def shown(mutant):
    """What is flipped, where, in words."""
    path, start, end, new = mutant
    with open(os.path.join(ROOT, path), encoding="utf-8") as file:
        text = file.read()
    line = line_of(text, start)
    return f"{path}:{line}: '{text[start:end]}' -> '{new}' in: {text.splitlines()[line - 1].strip()}"


def unplaced(what):
    return re.sub(r"^([^:]*):\d+:", r"\1:", what)


def survivors_of(output):
    with open(output, encoding="utf-8") as file:
        return {unplaced(row.split("SURVIVES", 1)[1].strip()) for row in file
                if row.startswith("SURVIVES")}


def judge(mutant, tests, commands, noticers):
    """Whether it is C, and the program that notices."""
    path, start, end, new = mutant
    with open(os.path.join(ROOT, path), encoding="utf-8") as file:
        text = file.read()
    with tempfile.TemporaryDirectory() as folder:
        thing = compiled(commands[path], path, text[:start] + new + text[end:], folder)
        return thing is not None, thing and noticed(thing, path, tests, folder, noticers[path])


def folder_of(path):
    return next(folder for folder in FOLDERS if path.startswith(folder + "/"))


def report(name, caught, count):
    low, high = wilson(caught, count)
    print(f"{name}: {caught} of {count} caught, {100 * caught / count:.1f} % "
          f"(95 % interval {100 * low:.1f} to {100 * high:.1f})")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=120)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", help="one file")
    parser.add_argument("--dearest", type=float, default=4.0, help="CPU seconds of a program")
    parser.add_argument("--list", action="store_true", help="only say what would be flipped")
    parser.add_argument("--again", help="output of a run: its survivors alone")
    parser.add_argument("--tests", default="*", help="pattern of the programs that are asked")
    parser.add_argument("--jobs", type=int, default=1, help="mutants at once")
    asked = parser.parse_args()
    files = [asked.only] if asked.only else [
        os.path.join(folder, name) for folder in FOLDERS
        for name in sorted(os.listdir(os.path.join(ROOT, folder)))
        if name.endswith(".c") and os.path.join(folder, name) not in SKIPPED]
    every = [mutant for path in files for mutant in mutants(path)]
    if asked.again:
        wanted = survivors_of(asked.again)
        sample = [mutant for mutant in every if unplaced(shown(mutant)) in wanted]
    else:
        sample = random.Random(asked.seed).sample(every, min(asked.count, len(every)))
    print(f"{len(every)} mutants of {len(files)} files; {len(sample)} of them, seed {asked.seed}",
          flush=True)
    if asked.list:
        print("\n".join(map(shown, sample)))
        return 0
    names = [name[:-2] for name in sources() if fnmatch.fnmatch(name[:-2], asked.tests)]
    build(names)
    tests, commands = programs(names, asked.dearest), compile_commands()
    print(f"{len(tests)} programs of {sum(p.cost for p in tests):.0f} CPU s", flush=True)
    caught, count = collections.Counter(), collections.Counter()
    noticers = collections.defaultdict(collections.Counter)
    with concurrent.futures.ThreadPoolExecutor(asked.jobs) as pool:
        answers = pool.map(lambda mutant: judge(mutant, tests, commands, noticers), sample)
        for mutant, (sound, by) in zip(sample, answers):
            if not sound:
                continue
            count[folder_of(mutant[0])] += 1
            caught[folder_of(mutant[0])] += by is not None
            print(("caught by " + by if by else "SURVIVES") + "  " + shown(mutant), flush=True)
    for folder in FOLDERS:
        if count[folder]:
            report(folder, caught[folder], count[folder])
    if count:
        report("all", caught.total(), count.total())
    return 0


if __name__ == "__main__":
    sys.exit(main())
