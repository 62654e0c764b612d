"""From a folder to a Pack: every file read, every fault named with its line, all of them at once."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path, PurePosixPath
from typing import Any

from packaging.specifiers import SpecifierSet

from rules.library.cases import Case, read_cases
from rules.library.citation import Citation
from rules.library.clauses import Clause, read_clauses
from rules.library.declared import DeclaredRule
from rules.library.declared_reading import read_declared
from rules.library.formula_modules import Formulas, read_formulas
from rules.library.materials import Grades, read_materials
from rules.library.pack import Expected, Pack
from rules.library.pack_schemas import ENGINE_API, PackShape
from rules.library.shaping import shaped
from rules.library.value import Value
from rules.library.values import read_values
from rules.library.yaml_source import PackFault, PackRefused, Source, read_yaml
from rules.subject.material import Material
from rules.subject.settled import Assumption

KNOWN_FILES = ("pack.yaml", "values.yaml", "materials.yaml", "clauses.yaml", "combine.py", "derive.py", "__init__.py", "README.md")
PLAIN = (
    "id",
    "title",
    "layer",
    "tradition",
    "document",
    "edition",
    "release",
    "engine",
    "what",
    "starts",
    "ends",
    "required",
    "leaves_choices",
)
LISTS = ("regions", "elsewhere", "component_types", "builds_on", "not_covered")
KNOWN_FOLDERS = ("formulas", "quantities", "declared", "loads")


@dataclass(frozen=True, slots=True)
class PackSource:
    """Where a pack is found. package: its import name, None for a mounted folder (which may hold no Python).

    files: its files as text by their path inside the folder, of a pack that was handed over and lies nowhere; None: on disk.
    """

    folder: Path
    package: str | None = None
    origin: str = "installed"
    files: Mapping[str, str] | None = None

    def names(self) -> list[str]:
        """Its files by their path inside the folder, sorted; caches and hidden files left out."""
        if self.files is not None:
            return sorted(self.files)
        return sorted(each.relative_to(self.folder).as_posix() for each in _files(self.folder))

    def content(self, name: str) -> bytes | None:
        """The bytes of one file; None when there is none, or it is a link or lies behind one."""
        if self.files is not None:
            return self.files[name].encode("utf-8", "surrogatepass") if name in self.files else None
        file = self.folder / name
        linked = any(each.is_symlink() for each in (file, *file.parents) if self.folder in each.parents)
        try:
            return None if linked or not file.is_file() else file.read_bytes()
        except OSError:
            return b"\xff"  # no text either: said of it as of one that is not UTF-8

    def text(self, name: str) -> str | None:
        """The file as text; None when it is absent or no UTF-8."""
        content = self.content(name)
        try:
            return None if content is None else content.decode("utf-8")
        except UnicodeDecodeError:
            return None

    def digest(self) -> str:
        """sha256 over the names and bytes of its files, sorted by name."""
        total = hashlib.sha256()
        for each in self.names():
            name, content = each.encode("utf-8", "surrogatepass"), self.content(each) or b""
            total.update(len(name).to_bytes(8, "big") + name + len(content).to_bytes(8, "big") + content)
        return f"sha256:{total.hexdigest()}"


@dataclass(frozen=True, slots=True)
class Reading:
    """A pack and where its parts stand, so that a later fault between packs can still name its line."""

    pack: Pack
    sources: dict[str, Source] = field(default_factory=dict)

    def fault(self, file: str, path: tuple[str | int, ...], message: str, hint: str = "") -> PackFault:
        """A fault at this part of one of the pack's files."""
        place = self.sources[file].place(path) if file in self.sources else None
        return PackFault(file, place.line if place else 0, place.column if place else 0, message, hint)


def read_pack(where: PackSource) -> Reading:
    """Read one pack folder. Raises PackRefused with every fault found in it."""
    reader = _Reader(where)
    reading = reader.read()
    if reader.faults or reading is None:
        raise PackRefused(tuple(sorted(set(reader.faults))))
    return reading


def is_required(where: PackSource) -> bool:
    """Whether a pack that cannot be read must stop the start: it says so, or it is a shipped one too broken to say."""
    text = where.text("pack.yaml")
    said = read_yaml(text, "pack.yaml").data if text is not None else None
    stated = said.get("required") if isinstance(said, dict) else None
    return stated is True or (where.origin == "shipped" and stated is not False and not isinstance(said, dict))


def _files(folder: Path) -> Iterator[Path]:
    for each in folder.rglob("*"):
        hidden = any(part.startswith(".") or part == "__pycache__" for part in each.relative_to(folder).parts)
        if each.is_file() and not hidden and each.suffix not in (".pyc", ".pyo"):
            yield each


class _Reader:
    def __init__(self, where: PackSource) -> None:
        self.where = where
        self.sources: dict[str, Source] = {}
        self.others: list[PackFault] = []

    @property
    def faults(self) -> list[PackFault]:
        return self.others + [fault for source in self.sources.values() for fault in source.faults]

    def read(self) -> Reading | None:
        self.strangers()
        head = self.source("pack.yaml")
        if head is None:
            self.others.append(PackFault("pack.yaml", 0, 0, "the pack has no pack.yaml"))
            return None
        said = shaped(head, PackShape()) if head.data is not None else None
        values, materials = self.values(), self.materials(said["tradition"] if said else None)
        declared = self.declared(values, said["id"] if said else "")
        formulas = self.formulas()
        self.same_names(values, formulas)
        cases = self.cases(formulas)
        clauses = self.clauses(formulas)
        if said is None:
            return None
        self.engine(head, said["engine"])
        pack = replace(self.pack(said, values, materials, declared, formulas), cases=cases, clauses=clauses)
        return Reading(pack, self.sources)

    def source(self, name: str) -> Source | None:
        if self.where.content(name) is None:
            return None
        text = self.where.text(name)
        if text is None:
            self.others.append(PackFault(name, 1, 1, "the file cannot be read as UTF-8 text"))
            return None
        self.sources[name] = read_yaml(text, name)
        return self.sources[name]

    def strangers(self) -> None:
        """Links, files a pack has no use for, and Python where none may be."""
        for each in sorted(self.where.folder.rglob("*")) if self.where.files is None else ():
            if each.is_symlink():
                name = each.relative_to(self.where.folder).as_posix()
                self.others.append(PackFault(name, 0, 0, "a link is not followed", "put what it points to here"))
        for name in self.where.names():
            inside, suffix = name.partition("/")[0], PurePosixPath(name).suffix
            if self.where.package is None and suffix in (".py", ".pyw", ".so", ".pyd"):
                self.others.append(PackFault(name, 0, 0, "a mounted pack holds no Python", "install the pack, or declare the rule in YAML"))
            elif name not in KNOWN_FILES and not ("/" in name and inside in KNOWN_FOLDERS):
                self.others.append(
                    PackFault(name, 0, 0, "a pack has no use for this file", "known: " + ", ".join(KNOWN_FILES + KNOWN_FOLDERS))
                )

    def inside(self, folder: str, ending: str) -> list[str]:
        """The files that lie in this folder of the pack and end so."""
        return [name for name in self.where.names() if name.startswith(f"{folder}/") and name.count("/") == 1 and name.endswith(ending)]

    def engine(self, head: Source, wanted: str) -> None:
        if ENGINE_API not in SpecifierSet(wanted):
            head.fault(
                ("engine",), f"the pack wants engine {wanted}, this one is {ENGINE_API}", "find a release of the pack for this engine"
            )

    def same_names(self, values: tuple[Value, ...], formulas: Formulas) -> None:
        """Formulas ask for values and quantities by one and the same name."""
        quantities = {quantity.name for quantity in formulas.quantities}
        for i, value in enumerate(values):
            if value.name in quantities and not self.sources["values.yaml"].faults:
                self.sources["values.yaml"].fault((i, "name"), f"{value.name} is the name of a quantity too", "choose another name")

    def values(self) -> tuple[Value, ...]:
        source = self.source("values.yaml")
        return read_values(source) if source else ()

    def materials(self, tradition: str | None) -> Grades:
        source = self.source("materials.yaml")
        if source is None:
            return Grades()
        if tradition is None:
            source.fault((), "grades belong to a tradition, and pack.yaml names none")
            return Grades()
        return read_materials(source, tradition)

    def declared(self, values: tuple[Value, ...], pack: str) -> tuple[DeclaredRule, ...]:
        sources = [source for name in self.inside("declared", ".yaml") if (source := self.source(name))]
        broken_values = bool(self.sources["values.yaml"].faults) if "values.yaml" in self.sources else False
        return read_declared(sources, pack, values, forgiving=broken_values)

    def clauses(self, formulas: Formulas) -> tuple[Clause, ...]:
        source = self.source("clauses.yaml")
        files = [PurePosixPath(name).stem for name in self.inside("declared", ".yaml")]  # a broken one is told of in its own file
        return read_clauses(source, [*(rule.slug for rule in formulas.rules), *files]) if source else ()

    def formulas(self) -> Formulas:
        if self.where.package is None:
            return Formulas()
        found = read_formulas(self.where.folder, self.where.package)
        self.others += found.faults
        return found

    def cases(self, formulas: Formulas) -> tuple[Case, ...]:
        sources = [source for name in self.inside("formulas", ".cases.yaml") if (source := self.source(name))]
        read = [(source, case) for source in sources for case in read_cases(source)]
        for source, case in read:
            if not any(case.shows(rule) for rule in formulas.rules) and not formulas.faults:
                source.fault(
                    (), f"there is no formula rule {case.slug}{', part ' + case.part if case.part else ''} for the case {case.name!r}"
                )
        for rule in formulas.rules:
            if not any(case.shows(rule) for _, case in read):
                said = f"no case shows the rule {rule.slug}{', part ' + rule.part if rule.part else ''}"
                self.others.append(PackFault("formulas", 0, 0, said, f"write formulas/{rule.slug.replace('-', '_')}.cases.yaml"))
        return tuple(case for _, case in read)

    def pack(
        self,
        said: dict[str, Any],
        values: tuple[Value, ...],
        grades: Grades,
        declared: tuple[DeclaredRule, ...],
        formulas: Formulas,
    ) -> Pack:
        document, edition = said["document"], said["edition"]
        complete = formulas.completed(said["id"], document, edition)
        return Pack(
            **_fields(said),
            digest=self.where.digest(),
            expected={kind: tuple(_expected(each) for each in asked) for kind, asked in said["expected"].items()},
            values=tuple(each.of_pack(said["id"], document, edition) for each in values),
            materials=tuple(_of_pack(material, cites.within(document, edition), said["id"]) for material, cites in grades.cited),
            reference=grades.reference,
            assumptions=tuple(Assumption(**each) for each in said["assumptions"]),
            quantities=complete.quantities,
            rules=complete.rules,
            declared=tuple(rule.within(document, edition) for rule in declared),
            combine=complete.combine,
            derive=complete.derive,
            origin=self.where.origin,
        )


def _fields(said: dict[str, Any]) -> dict[str, Any]:
    return {key: said[key] for key in PLAIN} | {key: tuple(said[key]) for key in LISTS}


def _expected(said: dict[str, Any]) -> Expected:
    lists = {"natures": tuple(said["natures"]), "roles": tuple(said["roles"])}
    return Expected(**{**said, **lists, **{name: int(said[name]) for name in ("at_least", "on_two_slopes")}})


def _of_pack(material: Material, cites: Citation, pack: str) -> Material:
    return replace(material, pack=pack, source=cites.words(), seen=cites.seen)
