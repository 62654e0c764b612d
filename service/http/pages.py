"""The few pages for people. No script, no outside address; the one style sheet is named to the browser by its digest."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Mapping
from html import escape
from typing import Any

_STYLE = (
    "body{max-width:42rem;margin:3rem auto;padding:0 1rem;font:1rem/1.6 system-ui,sans-serif;color:#222;background:#fff}"
    "h1{font-size:1.5rem}code,pre{font-family:ui-monospace,monospace;background:#f3f1ec;padding:.1em .3em}"
    "pre{padding:1rem;overflow:auto}.caution{border-left:.3rem solid #a33;padding-left:1rem}a{color:#14518b}"
    "@media(prefers-color-scheme:dark){body{color:#ddd;background:#181818}code,pre{background:#2a2a2a}a{color:#8bc}}"
)
POLICY = (
    f"default-src 'none'; style-src 'sha256-{base64.b64encode(hashlib.sha256(_STYLE.encode()).digest()).decode()}'; frame-ancestors 'none'"
)

_BACK = "<p><a href=/>What this is</a> · <a href=/docs>The reference</a></p>"

CAUTIONS = (
    "A report is no approval. The local code and a licensed engineer have the last word.",
    "What is listed as open or not checked has not been shown to be safe.",
    "The check knows the drawing, not the building: what is built out of true has to be measured and told.",
)
"""What a page says before anything else."""


def front_page(version: str) -> bytes:
    """What this is, what it is not, and where to go."""
    cautions = "".join(f"<p class=caution>{escape(caution)}</p>" for caution in CAUTIONS)
    return _page(
        "birdsmouth",
        f"<p>Checks timber roof trusses, floor joists and cut roofs: a frame goes in as JSON, findings with their working and their source come"
        f" out. Version {escape(version)}.</p>{cautions}"
        "<pre>curl -H 'Content-Type: application/json' --data-binary @truss.json \\\n     http://this.host/v1/checks</pre>"
        "<ul><li><a href=/docs>The reference</a>: every request and answer, with examples to copy</li><li><a href=/openapi.yaml>The contract</a>, as OpenAPI 3.1</li><li><a href=/v1/packs>The rule packs</a>, with their sources</li>"
        "<li><a href=/version>What runs here</a>, and the limits of one request</li>"
        "<li><a href=/healthz>Alive?</a> <a href=/readyz>Ready?</a></li></ul>",
    )


def problem_page(told: Mapping[str, Any]) -> bytes:
    """One kind of error in words."""
    title = str(told.get("title", told["code"]))
    status = f"<p>Status <code>{int(told['status'])}</code></p>" if "status" in told else ""
    remedy = f"<p>{escape(str(told['remedy']))}</p>" if "remedy" in told else ""
    return _page(title, f"<p><code>{escape(str(told['code']))}</code></p>{status}<p>{escape(str(told['meaning']))}</p>{remedy}{_BACK}")


def _page(title: str, content: str) -> bytes:
    head = f'<!doctype html><html lang=en><meta charset=utf-8><meta name=viewport content="width=device-width"><title>{escape(title)}</title><style>{_STYLE}</style>'
    return f"{head}<body><h1>{escape(title)}</h1>{content}</body></html>".encode()
