#!/usr/bin/env python3
"""The answers of all jobs against docs/answer.schema.json, by Python's jsonschema.

    validate_answers.py PROGRAM SOURCE_FOLDER
"""
import json
import subprocess
import sys
from pathlib import Path

import jsonschema

program, source = sys.argv[1], Path(sys.argv[2])
schema = json.loads((source / "docs/answer.schema.json").read_text())
validator = jsonschema.Draft7Validator(schema)
failed = checked = 0
for job in sorted([*source.glob("examples/*/fork*.toml"), *source.glob("tests/jobs/v1/*.toml")]):
    # with the island's shop, so that its part of the schema is held against something too
    shop = ["--shop", source / "examples/island-mail/shop.toml"] if "examples" in str(job) else []
    run = subprocess.run([program, "solve", "--json", job, *shop], capture_output=True, text=True)
    if run.returncode == 4:
        continue  # a sound job whose fork can't be had: its problems have no schema
    if run.returncode != 0:
        print(f"FAIL {job}: exit code {run.returncode}: {run.stderr}")
        failed += 1
        continue
    checked += 1
    for error in list(validator.iter_errors(json.loads(run.stdout)))[:3]:
        print(f"FAIL {job}: {'/'.join(map(str, error.absolute_path))}: {error.message[:200]}")
        failed += 1
print(f"{checked} answers checked")
sys.exit(1 if failed or checked < 3 else 0)
