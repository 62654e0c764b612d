"""A report as one HTML page that needs nothing else: no script, no outside address, readable without colour, made to be printed."""

from __future__ import annotations

import base64
import hashlib

from service.formats.standing import Reports
from service.formats.templating import fill
from service.formats.wording import Values
from service.units import dressed

STYLE = (
    "body{max-width:60rem;margin:2rem auto;padding:0 1rem;font:1rem/1.5 system-ui,sans-serif;color:#222;background:#fff}"
    "h1{font-size:1.6rem;margin:0 0 .3rem}h2{font-size:1.15rem;margin:2rem 0 .5rem;border-bottom:1px solid #bbb}h3{font-size:1rem;margin:1.2rem 0 .2rem}"
    "p{margin:.3rem 0}table{border-collapse:collapse;width:100%;font-size:.92rem}th,td{text-align:left;vertical-align:top;padding:.2rem .6rem .2rem 0;"
    "border-bottom:1px solid #ddd;overflow-wrap:anywhere}th{overflow-wrap:normal}.n{text-align:right;white-space:nowrap}.symbol{white-space:nowrap}.number{border:1px solid;border-radius:1em;padding:0 .45em;font-size:.85em;margin-right:.3em}code{font-family:ui-monospace,monospace;font-size:.88em;"
    "overflow-wrap:anywhere}.verdict{display:inline-block;font-weight:700;padding:.1rem .6rem;border:2px solid;margin-right:.6rem;text-transform:uppercase;white-space:nowrap}table.even{table-layout:fixed}"
    ".fail{color:#9b1c1c}.open{color:#8a5a00}.review{color:#155e75}.pass{color:#1c6b33}.small{font-size:.88rem;color:#555}"
    "th[scope=row]{font-weight:600}.tick{display:inline-block;width:.8em;height:.8em;border:1.5px solid}"
    ".schedule{font-size:.85rem}.schedule td,.schedule th{overflow-wrap:break-word;hyphens:auto}.schedule tr{break-inside:avoid}"
    "figure{margin:1rem 0;background:#fdfcf9}figure svg{display:block;width:100%;height:auto;max-height:75vh}figure.plain svg{max-width:42rem;margin:auto}"
    "article+article{break-before:page;margin-top:4rem}section.finding{break-inside:avoid}"
    "@page{size:A4;margin:18mm 16mm}@media print{body{max-width:none;margin:0;padding:0;font-size:10pt}h2,h3{break-after:avoid}thead{display:table-header-group}}"
    "@media screen and (max-width:40rem){.schedule thead{display:none}.schedule tr{display:block;border-bottom:1px solid #bbb;padding:.4rem 0}"
    ".schedule td,.schedule th{display:block;border:0;padding:.1rem 0}.schedule td:empty{display:none}"
    ".symbol{white-space:normal;overflow-wrap:anywhere}.schedule td:first-child,.schedule th[scope=row]{display:inline-block;margin-right:.5em}"
    ".schedule td[data-head]::before{content:attr(data-head) ': ';font-weight:600}}"
    "@media screen and (prefers-color-scheme:dark){body{color:#ddd;background:#181818}th,td{border-color:#444}.small{color:#aaa}.fail{color:#ff9d9d}"
    ".open{color:#ffc966}.review{color:#7fd6ee}.pass{color:#8fdca6}}"
)
_DIGEST = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
POLICY = f"default-src 'none'; style-src 'sha256-{_DIGEST}'; frame-ancestors 'none'"
"""What a browser may do with the page: use this one style, and nothing else."""


def render(report: Values, source: str | None = None) -> bytes:
    """One report as an HTML page in UTF-8. source: the file its design came from."""
    return render_all(((report, source),))


def render_all(reports: Reports) -> bytes:
    """Several reports on one page; on paper each begins a new sheet."""
    return dressed(fill("report.html", reports, style=STYLE), (report for report, _ in reports))
