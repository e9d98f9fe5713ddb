"""Every small change of a file that leaves it Python: one operator, figure, condition or call.

The kinds are the usual ones of mutation analysis (operator and condition replacement, constants,
statements left out). Words are not changed: what a message says is held by the golden pictures.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

COMPARISONS: dict[type[ast.cmpop], tuple[str, str]] = {
    ast.Lt: ("<", "<="),
    ast.LtE: ("<=", "<"),
    ast.Gt: (">", ">="),
    ast.GtE: (">=", ">"),
    ast.Eq: ("==", "!="),
    ast.NotEq: ("!=", "=="),
    ast.Is: ("is", "is not"),
    ast.IsNot: ("is not", "is"),
    ast.In: ("in", "not in"),
    ast.NotIn: ("not in", "in"),
}
ARITHMETIC: dict[type[ast.operator], tuple[str, str]] = {
    ast.Add: ("+", "-"),
    ast.Sub: ("-", "+"),
    ast.Mult: ("*", "/"),
    ast.Div: ("/", "*"),
    ast.FloorDiv: ("//", "/"),
    ast.Mod: ("%", "*"),
}
OTHER_CALL = {"min": "max", "max": "min", "any": "all", "all": "any"}


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change: the characters from ``start`` to ``end`` of a file give way to ``put``."""

    path: str
    line: int
    start: int
    end: int
    put: str
    before: str
    """The lines that it touches, without their indentation."""
    after: str

    def of(self, text: str) -> str:
        """The file with the change in it."""
        return text[: self.start] + self.put + text[self.end :]

    @property
    def key(self) -> str:
        """What names it from one run to the next, wherever in its file it has moved."""
        return f"{self.path}: {self.before} -> {self.after}"

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: {self.before} -> {self.after}"


def mutants(path: str, text: str) -> list[Mutant]:
    """All changes of the file ``text``, in its order. Annotations and words are left alone."""
    return sorted(_Finder(path, text).all(), key=lambda m: (m.start, m.end, m.put))


def _code(tree: ast.AST) -> Iterator[ast.AST]:
    """Every node but annotations, the words of messages and the choices of a type."""
    for name, value in ast.iter_fields(tree):
        if name in ("annotation", "returns", "decorator_list", "type_params"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.JoinedStr) or not isinstance(child, ast.AST):
                continue
            if isinstance(child, ast.If) and _for_types(child.test):
                continue
            yield child
            yield from _code(child)


def _for_types(test: ast.expr) -> bool:
    return isinstance(test, ast.Name) and test.id == "TYPE_CHECKING"


def _is_words(node: ast.BinOp) -> bool:
    """Text put together, which a minus would only break."""
    return any(
        isinstance(side, ast.JoinedStr | ast.List | ast.Tuple)
        or (isinstance(side, ast.Constant) and isinstance(side.value, str))
        for side in (node.left, node.right)
    )


class _Finder:
    def __init__(self, path: str, text: str) -> None:
        self.path, self.text = path, text
        self.lines = text.splitlines(keepends=True)
        self.begins = [0]
        for line in self.lines:
            self.begins.append(self.begins[-1] + len(line))

    def all(self) -> Iterator[Mutant]:
        for node in _code(ast.parse(self.text)):
            yield from self._of(node)

    def _of(self, node: ast.AST) -> Iterator[Mutant]:
        match node:
            case ast.Compare():
                yield from self._comparison(node)
            case ast.BinOp(op=op) if type(op) in ARITHMETIC and not _is_words(node):
                yield from self._between(node.left, node.right, *ARITHMETIC[type(op)])
            case ast.AugAssign(op=op) if type(op) in (ast.Add, ast.Sub):
                was, now = ARITHMETIC[type(op)]
                yield from self._between(node.target, node.value, f"{was}=", f"{now}=")
            case ast.BoolOp(op=op, values=values):
                was, now = ("and", "or") if isinstance(op, ast.And) else ("or", "and")
                for left, right in pairwise(values):
                    yield from self._between(left, right, was, now)
            case ast.UnaryOp(op=ast.Not(), operand=operand):
                yield self._replaced(node, self._source(operand))
            case ast.Constant(value=bool() as value):
                yield self._replaced(node, str(not value))
            case ast.Constant(value=int() as number):
                yield self._replaced(node, str(number + 1))
            case ast.Constant(value=float() as number):
                yield self._replaced(node, repr(round(number * 1.1, 12) if number else 1.0))
            case ast.Call(func=ast.Name(id=name)) if name in OTHER_CALL:
                yield self._replaced(node.func, OTHER_CALL[name])
            case ast.Expr(value=ast.Call()):
                yield self._replaced(node, "pass")
            case ast.If(test=test) | ast.IfExp(test=test) | ast.While(test=test):
                if not isinstance(test, ast.Compare | ast.UnaryOp | ast.NamedExpr):
                    yield self._replaced(test, f"not ({self._source(test)})")
            case ast.comprehension(ifs=conditions):
                for condition in conditions:
                    yield self._replaced(condition, "True")
            case ast.Return(value=ast.expr() as value) if not isinstance(value, ast.Constant):
                yield self._replaced(value, "None")
            case ast.Break():
                yield self._replaced(node, "continue")
            case ast.Continue():
                yield self._replaced(node, "break")

    def _comparison(self, node: ast.Compare) -> Iterator[Mutant]:
        sides = [node.left, *node.comparators]
        for op, (left, right) in zip(node.ops, pairwise(sides), strict=True):
            yield from self._between(left, right, *COMPARISONS[type(op)])

    def _between(self, left: ast.AST, right: ast.AST, was: str, now: str) -> Iterator[Mutant]:
        """The operator between two operands, where nothing but brackets stands beside it."""
        start, end = self._span(left)[1], self._span(right)[0]
        gap = self.text[start:end]
        if gap.count(was) == 1 and "#" not in gap:
            at = start + gap.index(was)
            yield self._mutant(at, at + len(was), now)

    def _replaced(self, node: ast.AST, now: str) -> Mutant:
        return self._mutant(*self._span(node), f"({now})" if "\n" in now else now)

    def _mutant(self, start: int, end: int, put: str) -> Mutant:
        begin = self.text.rfind("\n", 0, start) + 1
        rest = self.text.find("\n", end)
        until = len(self.text) if rest < 0 else rest
        before = " ".join(self.text[begin:until].split())
        after = " ".join((self.text[begin:start] + put + self.text[end:until]).split())
        line = self.text.count("\n", 0, start) + 1
        return Mutant(self.path, line, start, end, put, before, after)

    def _source(self, node: ast.AST) -> str:
        start, end = self._span(node)
        return self.text[start:end]

    def _span(self, node: ast.AST) -> tuple[int, int]:
        assert isinstance(node, ast.expr | ast.stmt)
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        begin = self._offset(node.lineno, node.col_offset)
        return begin, self._offset(node.end_lineno, node.end_col_offset)

    def _offset(self, line: int, column: int) -> int:
        """Where it is in the text: Python counts columns in bytes."""
        return self.begins[line - 1] + len(self.lines[line - 1].encode()[:column].decode())
