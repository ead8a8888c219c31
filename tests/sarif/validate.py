"""Hold SARIF logs against a JSON Schema with a validator that is none of this project's.

usage: validate.py SCHEMA LOG...

Checks formats as well (uri-reference and the like). Exit status: 0 all valid; 1 some are not.
"""

import json
import sys

from jsonschema import Draft4Validator


def main(schema_path, *log_paths):
    with open(schema_path, encoding="utf-8") as file:
        schema = json.load(file)
    Draft4Validator.check_schema(schema)
    validator = Draft4Validator(schema, format_checker=Draft4Validator.FORMAT_CHECKER)
    # A validator that lets everything through proves nothing.
    for wrong in ({"version": "2.1.0"}, {"version": "2.1.0", "runs": [{"tool": {"driver": {}}}]}):
        assert not validator.is_valid(wrong), "the validator accepts what is no SARIF"
    status = 0
    for path in log_paths:
        with open(path, encoding="utf-8") as file:
            log = json.load(file)
        errors = sorted(validator.iter_errors(log), key=lambda error: list(map(str, error.path)))
        for error in errors[:20]:
            where = "/".join(map(str, error.path))
            print(f"{path}: {where}: {error.message[:300]}")
        results = sum(len(run.get("results", [])) for run in log.get("runs", []))
        print(f"{path}: {len(errors)} errors, {results} results")
        status |= bool(errors)
    return status


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
