"""The quantity: one array function that gives the fast numbers, the shown working and the catalogue's words."""

from __future__ import annotations

import ast
import inspect
import textwrap
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from rules.library.citation import Citation


@dataclass(frozen=True)
class Quantity:
    """A named array function whose parameters are the names of the quantities (or pack values) it needs.

    name: how others ask for it; symbol, unit: as printed; cites: where the formula stands, None when it is plain mechanics;
    of: the function, arrays in, array out, N-mm-rad; needs: its parameter names; says: a sentence shown in place of the
    expression where the function is a search or geometry.
    """

    name: str
    symbol: str
    unit: str
    cites: Citation | None
    of: Callable[..., Any]
    needs: tuple[str, ...]
    says: str | None = None

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

    def expression(self, symbols: Mapping[str, str]) -> str:
        """The formula as printed, every name replaced by its symbol; made from the function's own source."""
        tree = self.tree
        return self.says or "" if tree is None else _printed(tree, symbols)


def quantity(symbol: str, unit: str, *, cites: Citation | None = None, says: str | None = None) -> Callable[[Callable[..., Any]], Quantity]:
    """Make a Quantity of a function: its name and parameter names become the quantity's name and needs."""

    def wrap(function: Callable[..., Any]) -> Quantity:
        return Quantity(function.__name__, symbol, unit, cites, function, tuple(inspect.signature(function).parameters), says)

    return wrap


_WORDS = {"np.maximum": "max", "np.minimum": "min", "np.abs": "abs", "np.sqrt": "√", "np.where": "where", "np.hypot": "hypot"}


class _Symbols(ast.NodeTransformer):
    def __init__(self, symbols: Mapping[str, str]) -> None:
        self.symbols = symbols

    def visit_Name(self, node: ast.Name) -> ast.AST:
        return ast.Name(id=self.symbols.get(node.id, node.id), ctx=node.ctx)


def _printed(tree: ast.expr, symbols: Mapping[str, str]) -> str:
    copy = ast.parse(ast.unparse(tree), mode="eval").body
    text = ast.unparse(_Symbols(symbols).visit(copy))
    for spelled, word in _WORDS.items():
        text = text.replace(spelled, word)
    return text.replace(" ** 2", "²").replace(" ** 3", "³").replace("**", "^").replace(" * ", "·").replace("math.pi", "π").replace("np.pi", "π")
