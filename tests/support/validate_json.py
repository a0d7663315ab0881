#!/usr/bin/python3
"""validate_json.py SCHEMA FILE...: exit 0 when every file meets the JSON Schema (draft 2020-12).

The validator is Debian's python3-jsonschema, written by others: an outside check of the files.
"""
import json
import sys

import jsonschema

with open(sys.argv[1], encoding="utf-8") as stream:
    schema = json.load(stream)
jsonschema.Draft202012Validator.check_schema(schema)
validator = jsonschema.Draft202012Validator(schema)
faults = 0
for path in sys.argv[2:]:
    with open(path, encoding="utf-8") as stream:
        for error in validator.iter_errors(json.load(stream)):
            print(f"{path}: {error.json_path}: {error.message[:200]}")
            faults += 1
sys.exit(1 if faults else 0)
