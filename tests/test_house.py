"""The shape of the house: sizes, docstrings, and a guide that does not go stale."""

import ast
from pathlib import Path

from tests import tree

ROOT = tree.ROOT
CODE = [path for path in sorted((ROOT / "generator").rglob("*.py")) if path.name != "__init__.py"]


def test_the_tree_in_the_guide_is_the_tree() -> None:
    assert tree.GUIDE.read_text(encoding="utf-8") == tree.guide(), "run: python -m tests.tree"


def test_no_file_has_two_jobs() -> None:
    assert len(CODE) > 300
    lines = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in [*CODE, *(ROOT / "tests").rglob("*.py")]}
    assert {path: number for path, number in lines.items() if number > 400} == {}


def test_every_module_and_every_public_name_says_what_it_is() -> None:
    assert {path: silent for path in CODE if (silent := _silent(path))} == {}


def _silent(path: Path) -> list[str]:
    """Modules, classes and functions of a file that say nothing of themselves."""
    module = ast.parse(path.read_text(encoding="utf-8"))
    return [
        *([] if ast.get_docstring(module) else [path.name]),
        *(node.name for owner in (module, *(one for one in module.body if isinstance(one, ast.ClassDef)))
          if not getattr(owner, "name", "").startswith("_")
          for node in owner.body
          if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_")
          and not ast.get_docstring(node) and not _overrides(node)),
    ]


def _overrides(node: ast.AST) -> bool:
    """Methods whose base class already says what they do."""
    return isinstance(node, ast.FunctionDef) and node.name in ("tags", "parts", "senses")


def test_every_template_says_what_it_renders() -> None:
    for path in (ROOT / "generator" / "render" / "templates").rglob("*.j2"):
        opening = path.read_text(encoding="utf-8").lstrip()
        assert opening.startswith("{#"), path.name
        assert "Context:" in opening.split("#}")[0], path.name


def test_the_readme_has_its_two_commands_first() -> None:
    lines = (ROOT / "README.md").read_text(encoding="utf-8").split("\n")
    blocks = [index for index, line in enumerate(lines) if line == "```sh"]
    assert [lines[index + 2] for index in blocks[:2]] == ["```", "```"]
    assert "philosophy build" in lines[blocks[0] + 1]
    assert "python -m tests" in lines[blocks[1] + 1]
