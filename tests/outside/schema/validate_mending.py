#!/usr/bin/env python3
"""What `replan`, `stands` and `fitup` print as JSON against their schemas, by Python's jsonschema.

    validate_mending.py PROGRAM SOURCE_FOLDER
"""
import json
import subprocess
import sys
from pathlib import Path

import jsonschema

program, source = sys.argv[1], Path(sys.argv[2])
failed = checked = 0


def check(name, schema, words, text):
    global failed, checked
    validator = jsonschema.Draft7Validator(json.loads((source / "docs" / schema).read_text()))
    run = subprocess.run([program, *words, "--json"], input=text, capture_output=True, text=True)
    if run.returncode not in (0, 6):
        print(f"FAIL {name}: exit code {run.returncode}: {run.stderr}")
        failed += 1
        return None
    checked += 1
    answer = json.loads(run.stdout)
    for error in list(validator.iter_errors(answer))[:3]:
        print(f"FAIL {name}: {'/'.join(map(str, error.absolute_path))}: {error.message[:200]}")
        failed += 1
    return answer


jobs = {p.parent.name: p.read_text() for p in source.glob("examples/*/fork.toml")}
facts = {
    "nothing": "",
    "short": "[done.blades.left]\nshort_by = 1.4\n",
    "short below": "[done.blades.right]\nshort_by = 1.4\nshort_at = \"lower end\"\n",
    "both": "[done.blades.left]\nshort_by = -1\n[done.blades.right]\nshort_by = 0\n",
    "trimmed": "[done.blades]\nlower_trim = 39\n",
    "not free": "[done.blades.left]\nshort_by = 1.4\n[freedoms]\nsplay = 0\nclearance = 0\n",
}
for job, text in sorted(jobs.items()):
    for name, more in facts.items():
        check(f"{job}, {name}", "replan.schema.json", ["replan", "-"], text + "\n" + more)
check("fit-up", "fitup.schema.json",
      ["fitup", "-", "--end", "left blade, upper end", "--touch", "0 30", "--gap", "120=0.1 180=0.4 210=0.35"],
      jobs["island-mail"])
for job, text in sorted(jobs.items()):
    check(f"{job}, readings", "stands.schema.json",
          ["stands", "-", "A=404.6", "B=404.1", "D=44.1", "E=43.3", "F=50.0", "G=51.8"], text)
print(f"{checked} answers checked")
sys.exit(1 if failed or checked < 8 else 0)
