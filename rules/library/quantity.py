"""The quantity: one array function that gives the fast numbers, the shown working and the catalogue's words."""

from __future__ import annotations

import ast
import copy
import inspect
import re
import textwrap
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from rules.library.citation import Citation


@dataclass(frozen=True)
class Quantity:
    """A named array function whose parameters are the names of the quantities (or pack values) it needs.

    name: how others ask for it; symbol, unit: as printed; cites: where the formula stands, None when it is plain mechanics;
    of: the function, arrays in, array out, N-mm-rad; needs: its parameter names; says: a sentence shown in place of the
    expression where the function is a search or geometry. instead_of: the quantity whose place it takes in every formula
    where the pack's word of the name `where[0]` is `where[1]`: a code's choice of method is a word of its values.
    """

    name: str
    symbol: str
    unit: str
    cites: Citation | None
    of: Callable[..., Any]
    needs: tuple[str, ...]
    says: str | None = None
    instead_of: str = ""
    where: tuple[str, str] = ("", "")

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        """Call the function itself, so that formulas can be used and tested as plain functions."""
        return self.of(*args, **kwargs)

    @cached_property
    def tree(self) -> ast.expr | None:
        """The returned expression's syntax tree; None for a function that says a sentence instead."""
        if self.says is not None:
            return None
        last = ast.parse(textwrap.dedent(inspect.getsource(self.of))).body[0]
        returned = last.body[-1] if isinstance(last, ast.FunctionDef) else None
        return returned.value if isinstance(returned, ast.Return) else None

    @cached_property
    def text(self) -> str:
        """The function's returned expression, made readable, its names left as they are."""
        tree = self.tree
        text = "" if tree is None else ast.unparse(_Cases().visit(copy.deepcopy(tree)))
        for spelled, word in _WORDS.items():
            text = text.replace(spelled, word)
        return text

    @cached_property
    def pieces(self) -> tuple[str, ...]:
        """The text cut at its names: what stands between them, and each name, in turns."""
        return tuple(_NAME.split(self.text))

    def expression(self, symbol: Callable[[str], str]) -> str:
        """The formula as printed, every name replaced by its symbol; made from the function's own source."""
        if self.says:
            return self.says
        pieces = list(self.pieces)
        pieces[1::2] = map(symbol, pieces[1::2])
        return "".join(pieces)


def quantity(
    symbol: str,
    unit: str,
    *,
    cites: Citation | None = None,
    says: str | None = None,
    instead_of: str = "",
    where: tuple[str, str] = ("", ""),
) -> Callable[[Callable[..., Any]], Quantity]:
    """Make a Quantity of a function: its name and parameter names become the quantity's name and needs."""

    def wrap(function: Callable[..., Any]) -> Quantity:
        needs = tuple(inspect.signature(function).parameters)
        return Quantity(function.__name__, symbol, unit, cites, function, needs, says, instead_of, where)

    return wrap


@quantity("1", "1", says="a ratio of one")
def ONE() -> float:
    """The limit of every utilisation ratio."""
    return 1.0


class _Cases(ast.NodeTransformer):
    """np.where(so, this, that) is read as "this if so else that", np.clip(x, low, high) as min(max(x, low), high)."""

    def visit_Call(self, node: ast.Call) -> ast.AST:
        self.generic_visit(node)
        if ast.unparse(node.func) == "np.where" and len(node.args) == 3:
            return ast.IfExp(test=node.args[0], body=node.args[1], orelse=node.args[2])
        if ast.unparse(node.func) == "np.clip" and len(node.args) == 3:
            low = ast.Call(ast.Name("max"), [node.args[0], node.args[1]], [])
            return ast.Call(ast.Name("min"), [low, node.args[2]], [])
        return node


_NAME = re.compile(r"\b([A-Za-z_][A-Za-z0-9_]*)")
_WORDS = {
    "np.maximum": "max",
    "np.minimum": "min",
    "np.abs": "abs",
    "np.sqrt": "√",
    "np.hypot": "hypot",
    "np.log": "ln",
    "np.pi": "π",
    "math.pi": "π",
    " ** 2": "²",
    " ** 3": "³",
    " ** ": "^",
    " * ": "·",
    " <= ": " ≤ ",
    " >= ": " ≥ ",
}
"""How Python spells it -> how it is printed."""
