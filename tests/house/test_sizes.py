"""How large things may grow: the stops that nobody passes."""

import ast
from pathlib import Path

from tests.house.source_text import SOURCE, Function, classes, decorated_by, files, functions, over_each, short, text

FILE_LINES = 400
BODY_LINES = 50
PARAMETERS = 6
FIELDS = 20
FACES = ("click", "ROUTES")  # what decorates a command, and what decorates the page that a form is sent to


def body_lines(function: Function) -> int:
    """Lines from the first statement after the docstring to the end."""
    body = function.body[1:] if ast.get_docstring(function) is not None else function.body
    return (function.end_lineno or 0) - body[0].lineno + 1 if body else 0


def parameters(function: Function) -> int:
    """How many a caller has to know; not counted are a method's own object, and the two records of the compiled loop,
    which every function of it takes."""
    arguments = function.args
    names = [argument.arg for argument in (*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs)]
    return len([name for name in names if name not in ("self", "cls", "c", "k")])


def fields(record: ast.ClassDef) -> int:
    """How many fields a record has."""
    return sum(isinstance(node, ast.AnnAssign) for node in record.body)


@over_each(files(SOURCE))
def test_sizes_stay_below_their_stops(path: Path) -> None:
    """File, function body, parameters and record; a command's options and a form's fields are a face, not a call, and
    not counted."""
    found = [f"{len(text(path).splitlines())} lines"] if len(text(path).splitlines()) > FILE_LINES else []
    for function in functions(path):
        if body_lines(function) > BODY_LINES:
            found.append(f"{function.name}: a body of {body_lines(function)} lines")
        if parameters(function) > PARAMETERS and not any(decorated_by(function, name) for name in FACES):
            found.append(f"{function.name}: {parameters(function)} parameters")
    found += [f"{record.name}: {fields(record)} fields" for record in classes(path) if fields(record) > FIELDS]

    assert not found, f"{short(path)}: {'; '.join(found)}"


def test_the_measures_count_what_they_say() -> None:
    """A function of known size is measured right."""
    function = ast.parse('def f(self, a, *, b):\n    """Words."""\n    c = a\n\n    return c\n').body[0]
    record = ast.parse("class R:\n    a: int\n    b: int = 1\n    c = 2\n").body[0]

    assert isinstance(function, ast.FunctionDef)
    assert isinstance(record, ast.ClassDef)
    assert (body_lines(function), parameters(function), fields(record)) == (3, 2, 2)
