#!/usr/bin/python3
"""Parses each source of a compile database by itself: parse_each.py compile_commands.json JOBS. Exit status 1 on any error."""
import concurrent.futures
import json
import re
import subprocess
import sys


def errors_of(entry):
    command = re.sub(r" -o \S+", "", entry["command"]) + " -fsyntax-only"
    run = subprocess.run(command, shell=True, cwd=entry["directory"], stdin=subprocess.DEVNULL, capture_output=True, text=True)
    return run.stderr if run.returncode else ""


with open(sys.argv[1], encoding="utf-8") as file:
    entries = {entry["file"]: entry for entry in json.load(file)}
with concurrent.futures.ThreadPoolExecutor(int(sys.argv[2])) as pool:
    errors = [text for text in pool.map(errors_of, entries.values()) if text]
sys.stderr.writelines(errors)
print(f"{len(entries)} sources parsed by themselves, {len(errors)} with errors")
sys.exit(1 if errors else 0)
