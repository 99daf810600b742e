# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds our schemas against python3-jsonschema: they are valid schemas, take every good file (tests, vehicles, pumps, data),
and refuse each good file of the tests once any mapping gets a key more, any text becomes a list, any list or number a word or
number that does not belong there, or any required key of the file goes."""
import copy, json, pathlib, subprocess, sys
import jsonschema

tool, root = sys.argv[1], pathlib.Path(sys.argv[2])
kinds = "vehicle engine pumps drives housings intakes stock clamps limits".split()


def run(*words):
    return subprocess.run([tool, *words], check=True, capture_output=True, text=True).stdout


schemas = {kind: json.loads(run("schema", kind)) for kind in kinds}
validators = {}
for kind, schema in schemas.items():
    jsonschema.Draft202012Validator.check_schema(schema)
    validators[kind] = jsonschema.Draft202012Validator(schema)


def spots(value, path=()):
    """Every place of a document, with its value."""
    yield path, value
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in items:
        yield from spots(item, path + (key,))


def changed(document, path, change):
    fresh = copy.deepcopy(document)
    place = fresh
    for key in path[:-1]:
        place = place[key]
    if path:
        place[path[-1]] = change(place[path[-1]])
        return fresh
    return change(fresh)


failures, files, spoilt = [], 0, 0
good = sorted((root / "tests/input/good").rglob("*.yaml"))
own = [p for d in ("vehicles", "pumps", "solver/data") for p in sorted((root / d).rglob("*.yaml"))]
assert good, "no good files"
for path in good + own:
    document = json.loads(run("json", str(path)))
    validator = validators[document["hosefit"]]
    files += 1
    for error in validator.iter_errors(document):
        failures.append(f"{path}: refused: {error.json_path}: {error.message[:200]}")
    if path not in good:
        continue
    for place, value in spots(document):
        if isinstance(value, dict):
            bad = changed(document, place, lambda v: {**v, "boer": 1})
        elif isinstance(value, bool) or isinstance(value, (int, float)):
            bad = changed(document, place, lambda v: "wide")
        else:
            bad = changed(document, place, lambda v: 7 if isinstance(v, list) else [7])
        spoilt += 1
        if validator.is_valid(bad):
            failures.append(f"{path}: taken though spoilt at {place}")
    for key in validator.schema["required"]:
        bad = {k: v for k, v in document.items() if k != key}
        spoilt += 1
        if validator.is_valid(bad):
            failures.append(f"{path}: taken without {key}")
print(f"{files} files, {spoilt} spoilt documents, {len(failures)} failures")
print("\n".join(failures[:40]))
sys.exit(1 if failures or spoilt < 500 else 0)
