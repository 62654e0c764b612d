"""A new pack that works: what `packs new` writes, with comments that teach and an example of every answer."""

from __future__ import annotations

import json

from rules.library.json_schemas import SHAPES, schema_of, written
from rules.library.pack_schemas import ENGINE_API

SCHEMAS = ".schemas"
"""Folder inside a pack that holds the JSON Schemas for editors; hidden, so that it is no part of the pack."""


def first_line(file: str, schemas: str) -> str:
    """The line by which an editor finds the schema of a pack's file. schemas: the folder they lie in, as seen from the file."""
    return f"# yaml-language-server: $schema={schemas}/{schema_of(file)}.json\n"


def skeleton(id: str, title: str) -> dict[str, str]:
    """The files of a new pack by their path inside its folder."""
    files = {
        "pack.yaml": _PACK.format(id=id, title=json.dumps(title, ensure_ascii=False), engine=f">={ENGINE_API},<2"),
        "values.yaml": _VALUES,
        f"declared/{RULE}.yaml": _DECLARED,
    }
    texts = {name: first_line(name, "../" * name.count("/") + SCHEMAS) + text for name, text in files.items()}
    return texts | {f"{SCHEMAS}/{name}.json": written(name) for name in SHAPES}


RULE = "webs-deep-enough"

_PACK = """\
# What this pack is, where and when it holds, and what it leaves out. Every line is explained on rules/packs/README.md; an editor that
# reads the schema named above completes and explains as you write.
id: {id}
title: {title}
layer: practice          # when it speaks: code, grades, national, region, practice
document: common practice, no published source   # the document whose rules you restate
edition: "1"             # its edition; in quotes, or it is read as a number
release: 0.1.0           # raise it whenever you correct a number: a pin must never change its meaning
engine: "{engine}"
what: Say here in a sentence what the pack is for.
# regions: [GB-ENG]      # ISO 3166; leave it out for everywhere
# starts: 2026-01-01     # first day in force
# builds_on: [eurocode-timber]   # packs whose numbers you use or override
not_covered:
  - everything else
"""

_VALUES = """\
# Every number of the rules, with its unit and where it stands. Numbers have a point.
# seen: read (say under `source` where), memory, or practice (common practice, no published source). Be honest: it is shown.
- name: web_depth_min_mm
  symbol: h_min
  unit: mm
  what: least depth of a long web
  value: 97.0
  cite: {clause: handling, seen: practice}
- name: long_web_mm
  symbol: l_long
  unit: mm
  what: length from which a web counts as long
  value: 3000.0
  cite: {clause: handling, seen: practice}
"""

_DECLARED = """\
# One rule. The file is called what the rule is called. Try it: birdsmouth packs test on the folder.
id: webs-deep-enough
title: Long webs are deep enough to handle
scope: member            # one judgement for the design, for each member, or for each support
severity: warning        # error, warning or note
purpose: practice        # strength, serviceability, durability, loads or practice
why: A long thin web bows on the press and is loose in its plates before the truss is up.

# Where it applies, and why not elsewhere. Facts carry their unit in their name; numbers have a point.
when: member.role == "web" && member.is_timber && member.length_mm > value.long_web_mm
because: is no long timber web

# It fails where demand is greater than limit. For a plain yes or no write `require:` instead of these two.
demand: value.web_depth_min_mm
limit: member.h_mm
unit: mm
message: "A web of {member.length_mm} mm wants a depth of {demand} mm; it has {limit}."
cite: {clause: handling, seen: practice}
remedies: [Use a deeper web.]

# Worked when the pack is read. Show each answer once, and come close to every threshold from both sides: `packs test` changes the
# rule a little at every place and names the changes that no example notices.
examples:
  - {name: long and deep enough, given: {member.role: web, member.is_timber: true, member.length_mm: 3300, member.h_mm: 97}, expect: pass}
  - {name: long and barely too thin, given: {member.role: web, member.is_timber: true, member.length_mm: 3300, member.h_mm: 96.9}, expect: fail}
  - {name: barely long and too thin, given: {member.role: web, member.is_timber: true, member.length_mm: 3001, member.h_mm: 72}, expect: fail}
  - {name: just not long, given: {member.role: web, member.is_timber: true, member.length_mm: 3000, member.h_mm: 72}, expect: notApplicable}
  - {name: a long chord, given: {member.role: bottom-chord, member.is_timber: true, member.length_mm: 3300, member.h_mm: 72}, expect: notApplicable}
  - {name: a long steel web, given: {member.role: web, member.is_timber: false, member.length_mm: 3300, member.h_mm: 40}, expect: notApplicable}
"""
