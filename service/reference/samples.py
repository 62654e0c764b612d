"""How each operation is called, to be copied: with curl, and from Python. What is shown is run in the tests."""

from __future__ import annotations

import json
from dataclasses import dataclass

from service.openapi.examples import PLACES
from service.openapi.operations import JSON, NDJSON, Operation

ADDRESS = "http://127.0.0.1:8000"


@dataclass(frozen=True, slots=True)
class Sample:
    """One call. file: what the body is read from, None without a body; content: what stands in that file."""

    curl: str
    python: str
    file: str | None = None
    content: str = ""
    summary: str = ""


def sample(operation: Operation) -> Sample:
    """The call of an operation with its example."""
    url = ADDRESS + operation.path.format(**PLACES)
    if operation.method == "get":
        return Sample(f"curl -s {url}", _python_get(url, operation))
    kind, name = (NDJSON, "designs.ndjson") if operation.lines else (JSON, f"{operation.example[0]}.json")
    curl = f"curl -s {url} \\\n  -H 'Content-Type: {kind}' \\\n  --data-binary @{name}"
    return Sample(curl, _python_post(url, kind, name), name, _content(operation), operation.example[1])


def _content(operation: Operation) -> str:
    value = operation.example[2]
    if operation.lines:
        return "".join(f"{json.dumps(design, ensure_ascii=False)}\n" for design in (value, {**value, "reference": "BOATHOUSE-R2"}))
    return _readable(value) + "\n"


def _readable(value: object, indent: int = 0, width: int = 100) -> str:
    """JSON as a person would write it: what fits on a line stands on one."""
    flat = json.dumps(value, ensure_ascii=False)
    if len(flat) + indent <= width or not isinstance(value, dict | list) or not value:
        return flat
    inner = " " * (indent + 2)
    if isinstance(value, dict):
        parts = [
            f"{inner}{json.dumps(name, ensure_ascii=False)}: {_readable(item, indent + 2 + len(name) + 4)}" for name, item in value.items()
        ]
        return "{\n" + ",\n".join(_shifted(part, inner) for part in parts) + "\n" + " " * indent + "}"
    return "[\n" + ",\n".join(inner + _readable(item, indent + 2) for item in value) + "\n" + " " * indent + "]"


def _shifted(part: str, inner: str) -> str:
    """A member whose value runs over several lines, with those lines under its name."""
    head, *rest = part.split("\n")
    if not rest:
        return part
    excess = len(rest[-1]) - len(rest[-1].lstrip()) - len(inner)
    return "\n".join([head, *(line[excess:] for line in rest)])


def _python_get(url: str, operation: Operation) -> str:
    shown = "answer.json()" if JSON in operation.answers else "answer.text"
    return f'import requests\n\nanswer = requests.get("{url}", timeout=60)\nanswer.raise_for_status()\nprint({shown})'


def _python_post(url: str, kind: str, name: str) -> str:
    shown = "for line in answer.text.splitlines():\n    print(json.loads(line))" if kind == NDJSON else "print(answer.json())"
    imports = "import json\nfrom pathlib import Path" if kind == NDJSON else "from pathlib import Path"
    return (
        f'{imports}\n\nimport requests\n\nanswer = requests.post(\n    "{url}",\n    data=Path("{name}").read_bytes(),\n'
        f'    headers={{"Content-Type": "{kind}"}},\n    timeout=60,\n)\nanswer.raise_for_status()\n{shown}'
    )
