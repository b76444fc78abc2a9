"""What scripts/mutate.sh does; its options are told there."""
import csv
import os
import re
import shutil
import subprocess
import sys
import time

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))
WORK = os.path.join(ROOT, "build", "mutate")
TREE, BUILD, RESULTS = (os.path.join(WORK, name) for name in ("tree", "build", "results.csv"))
COPIED = ("CMakeLists.txt", "include", "src", "tests", "examples")
JOBS = str(os.cpu_count() or 1)
# Little optimisation: what counts is how soon a changed stage and its tests are there.
CONFIGURE = ["cmake", "-S", TREE, "-B", BUILD, "-DCMAKE_BUILD_TYPE=Mutate", "-DCMAKE_CXX_FLAGS_MUTATE=-O1 -w", "-DFIRMUS_STRICT=OFF"]
TEST_TIMEOUT_S = 300  # a test that hangs has noticed


def stop(text):
    print(f"mutate.sh: {text}", file=sys.stderr)
    sys.exit(2)


def read_table():
    mutations = []
    with open(os.path.join(HERE, "mutations.txt"), encoding="utf-8") as file:
        for line in file:
            line = line.rstrip("\n")
            if line.startswith("[") and line.endswith("]"):
                mutations.append({"name": line[1:-1]})
            elif line and not line.startswith("#"):
                key, value = line.split(": ", 1)
                mutations[-1][key] = value
    for mutation in mutations:
        if mutation.keys() != {"name", "file", "tests", "find", "put"}:
            stop(f"{mutation['name']} lacks a line, or has one too many")
    if len({mutation["name"] for mutation in mutations}) != len(mutations):
        stop("two mutations have the same name")
    return mutations


def stale(mutation):
    try:
        with open(os.path.join(ROOT, mutation["file"]), encoding="utf-8") as file:
            count = file.read().count(mutation["find"])
    except OSError as error:
        return f"{mutation['name']}: {error}"
    return None if count == 1 else f"{mutation['name']}: the text to find is {count} times in {mutation['file']}"


def sync():
    """The copy: files that are the same keep their times, so that nothing is built twice."""
    for top in COPIED:
        wanted = set()
        source = os.path.join(ROOT, top)
        folders = os.walk(source) if os.path.isdir(source) else [(ROOT, [], [top])]
        for folder, _, names in folders:
            for name in names:
                path = os.path.join(folder, name)
                wanted.add(os.path.relpath(path, ROOT))
        for path in wanted:
            source, target = os.path.join(ROOT, path), os.path.join(TREE, path)
            with open(source, "rb") as file:
                content = file.read()
            if os.path.exists(target) and open(target, "rb").read() == content:
                continue
            os.makedirs(os.path.dirname(target), exist_ok=True)
            with open(target, "wb") as file:
                file.write(content)
            shutil.copymode(source, target)
        for folder, _, names in os.walk(os.path.join(TREE, top)):
            for name in names:
                path = os.path.relpath(os.path.join(folder, name), TREE)
                if path not in wanted:
                    os.remove(os.path.join(TREE, path))


def run(words, log):
    with open(os.path.join(WORK, log), "w", encoding="utf-8") as file:
        return subprocess.run(words, stdin=subprocess.DEVNULL, stdout=file, stderr=subprocess.STDOUT, cwd=WORK).returncode


def build(target=None):
    return run(["cmake", "--build", BUILD, "--parallel", JOBS] + (["--target", target] if target else []), "build.log") == 0


def all_tests():
    text = subprocess.run(["ctest", "--test-dir", BUILD, "-N", "-LE", "slow"], capture_output=True, text=True, check=True).stdout
    return re.findall(r"Test +#\d+: (\S+)", text)


def failing(tests, until_one_fails):
    """The tests that fail, or the first of them."""
    found = []
    for test in tests:
        words = ["ctest", "--test-dir", BUILD, "-R", f"^{test}$", "--timeout", str(TEST_TIMEOUT_S), "--no-tests=error"]
        if run(words, f"test-{test}.log") != 0:
            found.append(test)
            if until_one_fails:
                break
    return found


def target_of(test, tests):
    return f"test_{test}" if test in tests and os.path.isdir(os.path.join(ROOT, "tests", "unit", test)) else None


def noticed_by(mutation, tests):
    """The tests that noticed; none where every quick test passes. A mistake that does not compile is no mutation."""
    first = [test for test in mutation["tests"].split() if test in tests]
    targets = [target_of(test, tests) for test in first]
    if all(targets):
        for target in targets:
            if not build(target):
                stop(f"{mutation['name']} does not compile: see build/mutate/build.log")
        found = failing(first, False)
        if found:
            return found
        wider = [test for test in tests if test not in first]
    else:
        wider = first + [test for test in tests if test not in first]
    if not build():
        stop(f"{mutation['name']} does not compile: see build/mutate/build.log")
    return failing(wider, True)


def try_mutation(mutation, tests):
    path = os.path.join(TREE, mutation["file"])
    with open(path, encoding="utf-8") as file:
        text = file.read()
    try:
        with open(path, "w", encoding="utf-8") as file:
            file.write(text.replace(mutation["find"], mutation["put"]))
        return noticed_by(mutation, tests)
    finally:
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)


def read_results():
    if not os.path.exists(RESULTS):
        return {}
    with open(RESULTS, encoding="utf-8", newline="") as file:
        return {row["name"]: row for row in csv.DictReader(file)}


def write_results(results):
    with open(RESULTS, "w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, ("name", "noticed_by", "seconds"), lineterminator="\n")
        writer.writeheader()
        writer.writerows(results.values())


def print_table(mutations, results):
    """1 where one of the mutations that ran is not noticed."""
    ran = [mutation for mutation in mutations if mutation["name"] in results]
    for mutation in ran:
        print(f"{mutation['name']:<42} {results[mutation['name']]['noticed_by'] or 'NOT NOTICED'}")
    noticed = sum(bool(results[mutation["name"]]["noticed_by"]) for mutation in ran)
    print(f"{noticed} of {len(ran)} noticed" + (f", {len(mutations) - len(ran)} not run" if len(ran) < len(mutations) else ""))
    return 0 if noticed == len(ran) else 1


def main():
    options = {word for word in sys.argv[1:] if word.startswith("--")}
    names = [word for word in sys.argv[1:] if not word.startswith("--")]
    if options - {"--list", "--check", "--table"}:
        stop(f"{sorted(options)} is no option; say --list, --check, --table or names")
    mutations = read_table()
    chosen = [one for one in mutations if not names or any(one["name"].startswith(name) for name in names)]
    if not chosen:
        stop("no mutation has such a name")
    if "--list" in options:
        for mutation in chosen:
            print(f"{mutation['name']:<42} {mutation['file']}")
        return 0
    problems = [problem for problem in map(stale, chosen) if problem]
    if problems:
        stop("stale, write them anew:\n  " + "\n  ".join(problems))
    if "--check" in options:
        print(f"{len(chosen)} mutations are up to date")
        return 0
    results = read_results()
    if "--table" in options:
        return print_table(mutations, results)
    os.makedirs(WORK, exist_ok=True)
    sync()
    if run(CONFIGURE, "configure.log") != 0 or not build():
        stop("the unbroken copy does not build: see build/mutate/configure.log and build.log")
    tests = all_tests()
    broken = failing(tests, False)
    if broken:
        stop(f"these tests fail without any mistake: {' '.join(broken)}")
    for mutation in chosen:
        start = time.monotonic()
        found = try_mutation(mutation, tests)
        results[mutation["name"]] = {"name": mutation["name"], "noticed_by": " ".join(found), "seconds": f"{time.monotonic() - start:.0f}"}
        write_results(results)
        print(f"{mutation['name']:<42} {' '.join(found) or 'NOT NOTICED'}", flush=True)
    print()
    return print_table(chosen, results)


if __name__ == "__main__":
    sys.exit(main())
